"""Snow: how far a machine sinks into it, what grip it leaves, what pushing it takes and how long a lot takes."""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

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

    depth: m. density: kg/m3 as it lies. pressure: nominal contact pressure, Pa, which sets the density under the load:
    500 kg/m3 up to 210 kPa, 550 to 350, 600 to 700, 650 above.

    Richmond (1995), CRREL Report 95-7 p. 4. Measured tyres sank 20 to 40 % deeper in snow over 150 kg/m3.
    """
    kilopascal = np.asarray(pressure, float) / 1e3
    pressed = np.select([kilopascal <= 210, kilopascal <= 350, kilopascal <= 700], [500.0, 550.0, 600.0], 650.0)
    return np.asarray(depth, float) * np.maximum(1 - np.asarray(density, float) / pressed, 0)


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
) -> Array:
    """Time to push a rectangular lot clear towards one edge, s.

    length: along the push, m. breadth: across, m. width, overlap: of the pusher's lanes, m. push_length: how far it
    gets before it is full or loses grip, m. speeds: m/s. turn_time: s a load. efficiency: working share of the time.

    Lanes n = ceil(B/(w - o)), loads a lane k = ceil(L/x), nearest first: n [L (k + 1)/2 (1/v_p + 1/v_r) + k t] / e.
    Arithmetic of a cycle; the speeds and times are the user's or judgment.
    """
    length = np.asarray(length, float)
    lanes = np.ceil(np.asarray(breadth, float) / (np.asarray(width, float) - np.asarray(overlap, float)))
    loads = np.ceil(length / np.asarray(push_length, float))
    there_and_back = 1 / np.asarray(push_speed, float) + 1 / np.asarray(return_speed, float)
    lane = length * (loads + 1) / 2 * there_and_back + loads * np.asarray(turn_time, float)
    return lanes * lane / np.asarray(efficiency, float)
