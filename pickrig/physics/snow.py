"""Snow: how far a machine sinks into it, what grip it leaves, what pushing it takes and how long a lot takes."""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pickrig.physics.cycle import trips

Array = NDArray[np.float64]
State = Literal["loose", "packed", "ice"]

GRAVITY = 9.80665

# Gross traction, kPa of it over kPa of contact pressure: coefficient and power.
_TRACTION = {"loose": (0.851, 0.823), "packed": (0.321, 0.97), "ice": (0.127, 1.06)}


def gross_traction(pressure: ArrayLike, area: ArrayLike, state: State) -> Array:
    """Gross traction of all driven wheels or tracks on snow, N.

    pressure: nominal contact pressure, Pa. area: of all driven elements, m2. state: "loose" undisturbed, "packed" (a
    prepared road, or after more than four passes), "ice" (also under snow, or under less than 1 cm of it).

    T/A = 0.851 p^0.823 loose, 0.321 p^0.97 packed, 0.127 p^1.06 ice, kPa: Richmond, Shoop & Blaisdell (1995), CRREL
    Report 95-1; formulas from memory, reproducing its Table A5 to five digits. Vehicles of 3 to 50 t, 35 to 400 kPa,
    dry snow to about 0.3 m. Raises ValueError for another state.
    """
    if state not in _TRACTION:
        raise ValueError(f'state is "loose", "packed" or "ice", not {state!r}')
    coefficient, power = _TRACTION[state]
    kilopascal = np.asarray(pressure, float) / 1e3
    return 1e3 * coefficient * kilopascal**power * np.asarray(area, float)


def sinkage(depth: ArrayLike, density: ArrayLike, pressure: ArrayLike) -> Array:
    """How far a wheel or track sinks into undisturbed snow, m: z = h (1 - rho0/rhof), never below zero.

    depth: m. density: kg/m3 as it lies. pressure: maximum contact pressure, Pa, which sets the density under the load:
    500 kg/m3 up to 210 kPa, 550 to 350, 600 to 700, 650 above.

    Richmond (1995), CRREL Report 95-7 p. 4. Measured tyres sank 20 to 40 % deeper in snow over 150 kg/m3.
    """
    kilopascal = np.asarray(pressure, float) / 1e3
    pressed = np.select([kilopascal <= 210, kilopascal <= 350, kilopascal <= 700], [500.0, 550.0, 600.0], 650.0)
    return np.asarray(depth, float) * np.maximum(1 - np.asarray(density, float) / pressed, 0)


def arc_under_wheel(radius: ArrayLike, sinkage: ArrayLike) -> Array:
    """Length of the arc a wheel has in the snow, m: r acos((r - z)/r). radius, sinkage: m. CRREL 95-7; from memory."""
    radius, depth = np.asarray(radius, float), np.asarray(sinkage, float)
    return radius * np.arccos(np.clip((radius - depth) / radius, -1, 1))


def arc_under_track(sinkage: ArrayLike, approach_angle: ArrayLike) -> Array:
    """Length of a track's front in the snow, m: z / sin(alpha). sinkage: m. approach_angle: degrees. From memory."""
    return np.asarray(sinkage, float) / np.sin(np.radians(np.asarray(approach_angle, float)))


def leading_wheel_resistance(density: ArrayLike, width: ArrayLike, arc: ArrayLike) -> Array:
    """Motion resistance of one leading wheel in undisturbed snow, N: 13.6041 (rho0 w a)^1.26.

    density: as it lies, kg/m3. width: of the tyre, m. arc: see `arc_under_wheel`, m. Richmond (1995), CRREL Report 95-7
    eq. 8; the constant from memory. Agrees with measured wheels of CRREL TR-01-16 Table 11.
    """
    return 13.6041 * (np.asarray(density, float) * np.asarray(width, float) * np.asarray(arc, float)) ** 1.26


def following_wheel_resistance(depth: ArrayLike, load: ArrayLike) -> Array:
    """Motion resistance of a second wheel in the leading one's rut, N: 0.0475 h_r L, h_r = h / 0.22 m above that, else
    1.

    depth: of the undisturbed snow, m. load: on the wheel, N. Richmond (1995), CRREL Report 95-7; "else 1" inferred.
    """
    return 0.0475 * np.maximum(np.asarray(depth, float) / 0.22, 1.0) * np.asarray(load, float)


def track_resistance(density: ArrayLike, width: ArrayLike, arc: ArrayLike) -> Array:
    """Motion resistance of one track in undisturbed snow, N: 68.083 (rho0 w a)^0.9135.

    density: as it lies, kg/m3. width: of the track, m. arc: see `arc_under_track`, m. Richmond, Shoop & Blaisdell
    (1995), CRREL Report 95-1; the exponent agrees with its Table A5, the constant is from memory.
    """
    return 68.083 * (np.asarray(density, float) * np.asarray(width, float) * np.asarray(arc, float)) ** 0.9135


def new_snow_density(temperature: ArrayLike) -> Array:
    """Density of snow as it falls, kg/m3: 67.9 + 51.3 exp(T / 2.59). temperature: of the air, degC, -15 to 0.

    Hedstrom & Pomeroy (1998), Hydrological Processes 12:1611-1625; from memory. Held at the ends of its range.
    """
    return 67.9 + 51.3 * np.exp(np.clip(np.asarray(temperature, float), -15, 0) / 2.59)


def most_snow(
    pull: ArrayLike,
    width: ArrayLike,
    depth: ArrayLike,
    density: ArrayLike,
    speed: ArrayLike,
    snow_friction: ArrayLike,
    edge_friction: ArrayLike,
    edge_load: ArrayLike,
    crush_pressure: ArrayLike,
    slope: ArrayLike = 0.0,
) -> Array:
    """Most snow a pull can slide along, kg: `pusher_force` solved for the mass; zero where not even an empty box moves.

    pull: N at the edge, over the machine's own resistances. The rest as in `pusher_force`.
    """
    angle = np.arctan(np.asarray(slope, float))
    empty = pusher_force(
        0.0, width, depth, density, speed, snow_friction, edge_friction, edge_load, crush_pressure, slope
    )
    per_kilogram = GRAVITY * (np.asarray(snow_friction, float) * np.cos(angle) + np.sin(angle))
    return np.maximum(np.asarray(pull, float) - empty, 0.0) / per_kilogram


def pile(volume: ArrayLike, repose: ArrayLike) -> tuple[Array, Array]:
    """Radius and height of a cone of snow, m: r = (3 V / (pi tan theta))^(1/3), height r tan theta.

    volume: of the piled snow, m3. repose: slope of the cone, degrees. Geometry.
    """
    slope = np.tan(np.radians(np.asarray(repose, float)))
    radius = np.cbrt(3 * np.asarray(volume, float) / (np.pi * slope))
    return radius, radius * slope


def windrow(volume: ArrayLike, length: ArrayLike, repose: ArrayLike) -> tuple[Array, Array]:
    """Width and height of a bank of snow along a side, m: height sqrt(V tan theta / L), width 2 h / tan theta.

    volume: of the piled snow, m3. length: of the bank, m. repose: slope of its sides, degrees. Geometry.
    """
    slope = np.tan(np.radians(np.asarray(repose, float)))
    height = np.sqrt(np.asarray(volume, float) * slope / np.asarray(length, float))
    return 2 * height / slope, height


def pusher_force(
    mass: ArrayLike,
    width: ArrayLike,
    depth: ArrayLike,
    density: ArrayLike,
    speed: ArrayLike,
    snow_friction: ArrayLike,
    edge_friction: ArrayLike,
    edge_load: ArrayLike,
    crush_pressure: ArrayLike,
    slope: ArrayLike = 0.0,
) -> Array:
    """Force to push a box or blade of snow at steady speed, N.

    mass: carried snow, kg. width, depth: of the cut, m. density: of the snow as it lies, kg/m3. speed: m/s. frictions:
    carried snow on the ground, cutting edge. edge_load: weight on the edge, N. crush_pressure: to crush fresh snow into
    the box, Pa. slope: rise over run, uphill positive.

    g m (mu_s cos b + sin b) + mu_e N_e + sigma_c w h + rho0 w h v^2: balance of forces and momentum; the frictions and
    the crushing pressure are judgment. Measured forces grow linearly with speed below ploughing speeds.
    """
    angle = np.arctan(np.asarray(slope, float))
    cut = np.asarray(width, float) * np.asarray(depth, float)
    sliding = GRAVITY * np.asarray(mass, float) * (np.asarray(snow_friction, float) * np.cos(angle) + np.sin(angle))
    edge = np.asarray(edge_friction, float) * np.asarray(edge_load, float)
    picking_up = np.asarray(density, float) * cut * np.asarray(speed, float) ** 2
    return sliding + edge + np.asarray(crush_pressure, float) * cut + picking_up


def clearing_time(
    length: ArrayLike,
    breadth: ArrayLike,
    width: ArrayLike,
    overlap: ArrayLike,
    push_length: ArrayLike,
    push_speed: ArrayLike,
    return_speed: ArrayLike,
    turn_time: ArrayLike,
    efficiency: ArrayLike,
    beyond: ArrayLike,
) -> Array:
    """Time to push a rectangular lot clear towards one edge, s.

    length: along the push, m. breadth: across, m. width, overlap: of the pusher's lanes, m. push_length: how far it
    gets before it is full or loses grip, m. speeds: m/s. turn_time: s a load. efficiency: working share of the time.
    beyond: how far past the edge each load goes, m.

    Lanes n = ceil(B/(w - o)), loads a lane k = ceil(L/x), nearest first:
    n [(L (k + 1)/2 + k b) (1/v_p + 1/v_r) + k t] / e.
    Arithmetic of a cycle; the speeds and times are the user's or judgment.
    """
    length = np.asarray(length, float)
    lanes = trips(breadth, np.asarray(width, float) - np.asarray(overlap, float))
    loads = trips(length, push_length)
    there_and_back = 1 / np.asarray(push_speed, float) + 1 / np.asarray(return_speed, float)
    way = length * (loads + 1) / 2 + loads * np.asarray(beyond, float)
    lane = way * there_and_back + loads * np.asarray(turn_time, float)
    return lanes * lane / np.asarray(efficiency, float)


def blade_capacity(density: ArrayLike, length: ArrayLike, height: ArrayLike, repose: ArrayLike) -> Array:
    """Snow that lies before a blade, kg: rho L H^2 / (2 tan phi), a wedge at its angle of repose.

    density: of carried snow, kg/m3. length, height: of the blade, m. repose: degrees. Geometry.
    """
    wedge = np.asarray(height, float) ** 2 / (2 * np.tan(np.radians(np.asarray(repose, float))))
    return np.asarray(density, float) * np.asarray(length, float) * wedge


def windrow_passes(capacity: ArrayLike, angle: ArrayLike, length: ArrayLike, strip: ArrayLike) -> Array:
    """Passes side by side until an angled blade spills over what the earlier ones left: m sin(a)/(L s) + 1/2.

    capacity: what the blade holds, kg. angle: from square across, degrees. length: of the blade, m. strip: snow of one
    pass, kg a metre. In pass n the blade carries (L / sin a) s (n - 1/2): balance of mass along the blade.
    """
    slides = np.sin(np.radians(np.asarray(angle, float))) / np.asarray(length, float)
    return np.asarray(capacity, float) * slides / np.asarray(strip, float) + 0.5


def blower_rate(power: ArrayLike, energy: ArrayLike) -> Array:
    """Snow a blower throws, kg/s: power at its shaft, W, over the energy a kilogram takes, J/kg. An upper bound."""
    return np.asarray(power, float) / np.asarray(energy, float)
