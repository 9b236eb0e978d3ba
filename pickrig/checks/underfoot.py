"""What a machine drives on, and what it finds there: the row of rules/traction.toml for the surface and its wetness."""

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from pickrig.checks.case import Case
from pickrig.checks.ground.draws import Array, Gear, Three
from pickrig.checks.ground.fine_soil import Wet
from pickrig.checks.ground.frozen import frozen_hard
from pickrig.checks.ground.sand import spare_pull
from pickrig.checks.ground.soils import groups_of
from pickrig.rulebook.tables import Slick, ThreePerGear, Tread


def row_of(case: Case, surface: str) -> str:
    """Row of rules/traction.toml: soil as wet as it is judged, anything else wet unless it is known to be dry."""
    ground = case.job.ground
    if case.job.task.on_boards and case.rules.surfaces[surface].carries == "soil":
        return "boards"
    if surface == "site soil" and frozen_hard(case):
        return "soil moist"  # hard as a road, with a little rime or thaw on it; our judgment
    if surface == "site soil":
        return "soil slick" if _under_water(case) else f"soil {_wetness(case)}"
    dry = _dry_on_top(case)
    if surface in ("ice", "packed snow", "scraped pavement"):
        dry = ground.temperature is not None and ground.temperature <= case.rules.pull.cold_snow.value
    return f"{surface} {'dry' if dry else 'wet'}"


def _under_water(case: Case) -> bool:
    """Whether water stands on fine soil: on most spots, where it is worked out."""
    most = case.site.standing >= case.rules.pull.under_water.value
    return case.site.family == "fine" and (most or case.job.ground.standing_water)


def _wetness(case: Case) -> Wet:
    """As the ground is judged; the job's own word where it is not worked out."""
    ground = case.job.ground
    return case.site.wetness or ("wet" if ground.standing_water else ground.wetness or _unsaid(case))


def _unsaid(case: Case) -> Wet:
    """Where nobody said: sand is dry, which is its worst; any other ground is wet."""
    return "dry" if case.site.family == "sand" else "wet"


def _dry_on_top(case: Case) -> bool:
    """Paving and grass are wet on top where somebody says so; where it rained that day or the day before, or the ground
    is wet; without weather, unless the job says dry."""
    ground = case.job.ground
    if ground.wet_on_top is not None:
        return not ground.wet_on_top
    if case.job.weather is None or ground.wetness == "wet" or ground.standing_water:
        return ground.wetness == "dry" and not ground.standing_water
    return sum(_rain(case)) < case.rules.pull.rain_trace.value and case.site.wetness != "wet"


def _rain(case: Case) -> tuple[float, float]:
    """Rain of the day of the work and of the day before it, m."""
    weather = case.job.weather
    if weather is None:
        return 0.0, 0.0
    fallen = {day.date: day.expected for day in weather.days}
    date = case.site.date or weather.job_day
    return fallen.get(date, 0.0), fallen.get(date - dt.timedelta(1), 0.0)


def coefficients(case: Case, row_name: str) -> tuple[Array, Array]:
    """Grip and rolling resistance, shares of weight, drawn alike for all machines; clean sand has rows of its own."""
    luck, gear = case.luck, case.machine.gear
    if row_name.startswith("soil") and case.site.family == "sand":
        row_of_sand = case.rules.sand["flooded" if case.job.ground.standing_water else _wetness(case)]
        rolling = luck.draw("drag", _of(gear, row_of_sand.rolling))
        return np.maximum(spare_pull(case) + rolling, 0.0), rolling
    row = case.rules.traction[row_name]
    grip, rolls = _of(gear, row.traction), _of(gear, row.rolling)
    gripped, rolling = _chained(case, row_name, luck.draw("grip", grip)), luck.draw("drag", rolls)
    if row_name == "turf wet":
        return gripped * _tread(case).grips, rolling
    if not row_name.startswith("soil") or case.site.family != "fine" or frozen_hard(case):
        return gripped, rolling
    mud = np.where(packed(case), luck.draw("mud", case.rules.pull.mud_rolls.three), 0.0)
    return _on_fine_soil(case, row_name, gripped), rolling + mud


def _of(gear: Gear, both: ThreePerGear) -> Three:
    return both.tracks if gear == "tracks" else both.tyres


def _on_fine_soil(case: Case, row_name: str, grip: Array) -> Array:
    """What the state of the lugs, mud in them and a slick surface leave of the grip: under water all of it is lost to
    the soil's own slick grip, after rain the lugs reach through part of the film."""
    tread, full, mud = _tread(case), case.rules.tread["packed"], packed(case)
    worn = np.where(mud, min(full.grips, tread.grips), tread.grips)
    lugs = grip * (worn if row_name in ("soil wet", "soil slick") else np.where(mud, full.grips, 1.0))
    under_water, surface = row_name == "soil slick", _slick_surface(case)
    today, yesterday = _rain(case)
    if surface is None or not (under_water or today + case.rules.pull.overnight.value * yesterday >= surface.rain):
        return lugs
    film = np.where(mud, full.film, 1.0 if under_water else tread.film)
    smooth = np.where(mud, full.slick, tread.slick)
    slick = smooth * case.luck.draw("grip", _of(case.machine.gear, surface.traction))
    return np.minimum(lugs, (1 - film) * lugs + film * slick)


def _slick_surface(case: Case) -> Slick | None:
    """How slick the worst of the soils it may be gets."""
    may_be = [case.rules.soils[key].slick for key in groups_of(case.job, case.rules)]
    return next((row for name, row in case.rules.slick.items() if name in may_be), None)  # the worst stands first


def packed(case: Case) -> NDArray[np.bool_]:
    """Where mud stays in the lugs: of tracks on sticky soil; tires throw it off."""
    packs = case.site.packs
    if packs is None or case.machine.tracks is None or _on_top(case):
        return np.zeros(case.luck.draws, dtype=bool)
    return packs


def _on_top(case: Case) -> bool:
    """Whether it never touches the soil: on boards, or on frozen ground."""
    return case.job.task.on_boards or frozen_hard(case)


def freezes_ahead(case: Case) -> bool:
    """Whether it freezes in the night after the work, as far as anybody said."""
    air, weather = case.job.ground.temperature, case.job.weather
    if air is not None and air <= 0:
        return True
    if weather is None:
        return False
    date = case.site.date or weather.job_day
    nights = {day.date: day.tmin for day in weather.days}
    cold = nights.get(date + dt.timedelta(1), nights.get(date))
    return cold is not None and cold <= 0


def _tread(case: Case) -> Tread:
    """What wear has left of the lugs; they count as whole where nobody looked."""
    gear = case.machine.tracks or case.machine.tyres
    assert gear is not None
    return case.rules.tread[gear.tread_state or "new"]


def _chained(case: Case, row_name: str, grip: Array) -> Array:
    """What chains add on snow and ice."""
    tyres, values = case.machine.tyres, case.rules.snow.values
    slick = row_name.startswith(("ice", "packed snow", "scraped pavement"))
    if tyres is None or not tyres.chains or not slick:
        return grip
    gain = values["chains_ice" if row_name.startswith("ice") else "chains_packed"]
    best = case.luck.draw("chains", gain.three)
    if row_name.startswith("ice"):
        return np.maximum(grip, best)
    return np.maximum(grip, np.minimum(grip * best, values["chains_cap"].value))
