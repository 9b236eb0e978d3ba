"""Ruts in finished turf, and what a slope asks of the ground beside the level."""

import pytest

from pickrig.checks import Case, ask_all
from pickrig.checks.carrying import carry
from pickrig.checks.ground.demand import needed
from pickrig.checks.ground.site import draw_site
from pickrig.inputs import read_job
from tests.conftest import english


@pytest.fixture
def ask(tmp_path, fleet, rules):
    def make(ground, task="", machine="Wheeled 60", turf=True):
        path = tmp_path / "job.toml"
        travel = 'travel = { turf = "100 %" }' if turf else ""
        path.write_text(
            'title = "invented"\n[task]\nkind = "work behind a house"\nload = "400 lb"\nsplit = true\n'
            f'{task}\n[ground]\n{ground}\n{travel}\n[access]\ngate = "open"\n',
            encoding="utf-8",
        )
        job = read_job(path, rules)
        one = next(m for m in fleet.machines if m.name == machine)
        return Case(job, one, draw_site(job, rules, 2000), rules)

    return make


def marks(case):
    return next(f for f in ask_all(case) if f.check == "spares_surface")


LOAM = 'soil = "loam"\nwetness = "{}"'


def test_a_lawn_is_ruined_by_ruts_long_before_anything_bogs(ask):
    case = ask(LOAM.format("moist"), 'pieces = 12\nturning = "wide"')
    found, holds = marks(case), next(f for f in ask_all(case) if f.check == "floats")
    assert holds.verdict != "no-go"
    assert found.verdict == "caution"
    assert "that has to be repaired" in english(found.says)


def test_the_gentler_machine_ruts_less(ask):
    wheels, wide, small = (
        marks(ask(LOAM.format("moist"), 'pieces = 12\nturning = "wide"', name)).value
        for name in ("Wheeled 60", "Wide-track 68", "Stand-on 36")
    )
    assert small < wheels
    assert wide < wheels


def test_more_passes_and_wetter_ground_rut_deeper(ask):
    def value(wetness, passes):
        return marks(ask(LOAM.format(wetness), f'passes = {passes}\nturning = "wide"')).value

    assert value("moist", 2) < value("moist", 10) < value("moist", 50)
    assert value("dry", 10) < value("moist", 10) < value("wet", 10)


def test_nothing_ruts_on_boards_or_on_paving(ask):
    case = ask(LOAM.format("moist"), 'pieces = 12\nturning = "on boards"')
    assert marks(case).value == 0
    paved = ask('soil = "loam"\nwetness = "wet"\ntravel = { asphalt = "100 %" }', turf=False)
    assert "rut" not in english(marks(paved).says)


def test_a_hard_dry_lawn_is_not_ruined(ask):
    for machine in ("Wheeled 60", "Tracked 64", "Stand-on 36"):
        found = marks(ask(LOAM.format("dry"), 'passes = 4\nturning = "wide"', machine))
        assert "rolls out" in english(found.says)


def test_no_rut_is_deeper_than_the_belly_is_high(ask):
    found = marks(ask(LOAM.format("wet"), 'passes = "all day"\nturning = "wide"'))
    assert "sits on its belly" in english(found.says)
    assert found.value < 30


def test_a_steeper_lawn_is_not_rutted_by_what_the_slope_asks(ask):
    level, steep = (
        marks(ask(LOAM.format("moist") + f'\ngrade = "{g} %"', 'passes = 10\nturning = "wide"', "Tracked 64")).value
        for g in (0, 15)
    )
    assert steep < 1.4 * level  # the loads shift, nothing else


def test_a_frozen_skin_does_not_save_a_lawn_that_its_machine_breaks(ask):
    wet = 'soil = "lean clay"\nwetness = "wet"\ntemperature = "25 F"\nfrost = "{}"'
    thin, deep = (marks(ask(wet.format(d), 'passes = 24\nturning = "wide"')) for d in ("2 in", "10 in"))
    assert "rutted" in english(thin.says) or "belly" in english(thin.says)
    assert "rut" not in english(deep.says)


def test_a_longer_way_is_no_deeper_rutted(ask):
    short, long = (
        marks(ask(LOAM.format("moist") + f'\nroute = "{r} ft"', 'passes = 10\nturning = "wide"')).value
        for r in (100, 400)
    )
    assert short == long


def test_boards_carry_on_sand_too(ask):
    case = ask('soil = "clean sand"\nwetness = "dry"', 'turning = "on boards"', turf=False)
    floats, grips = (next(f for f in ask_all(case) if f.check == c) for c in ("floats", "grips"))
    assert (floats.verdict, grips.verdict) == ("go", "go")
    assert "boards" in english(grips.says)


def test_what_no_ground_gives_is_said(ask):
    case = ask('soil = "loam"\nwetness = "dry"\ngrade = "65 %"', turf=False)
    found = next(f for f in ask_all(case) if f.check == "floats")
    assert "No ground gives it the pull" in english(found.says)


@pytest.mark.parametrize("machine", ["Wheeled 60", "Tracked 64", "Articulated 45"])
def test_a_slope_asks_for_stronger_ground(ask, machine):
    def needs(grade):
        case = ask(f'soil = "loam"\nwetness = "moist"\ngrade = "{grade} %"', machine=machine, turf=False)
        loading = carry(case)
        return needed(case, loading, loading.payload) / 6894.757

    level, ten, twenty = needs(0), needs(10), needs(20)
    assert level + 1 < ten < twenty < level + 25  # psi


def test_the_working_shows_what_the_slope_asks(ask):
    case = ask('soil = "loam"\nwetness = "moist"\ngrade = "12 %"', turf=False)
    found = next(f for f in ask_all(case) if f.check == "floats")
    assert any(getattr(line, "key", "") == "floats.uphill" for line in found.account().working)
