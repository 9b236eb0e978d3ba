"""Slip and turning on soft ground: the same ground that holds or not, by its group, its water and the day's rain."""

import datetime as dt

import pytest

from pickrig.inputs import read_job
from pickrig.plans.pick.answer import pick
from tests.conftest import english


@pytest.fixture
def job(tmp_path, rules):
    def make(ground, task='kind = "move loose material"\nload = "1,200 lb"\nsplit = true', weather=""):
        path = tmp_path / "job.toml"
        path.write_text(
            f'title = "invented"\n[task]\n{task}\n[ground]\n{ground}\n[access]\ngate = "open"\n{weather}',
            encoding="utf-8",
        )
        return read_job(path, rules)

    return make


def grips(job, fleet, rules):
    return {s.machine.name: s.finding("grips") for s in pick(job, fleet, rules, draws=1000).ranking}


def weather(rain_on_the_day, rain_before=0.0, days=21):
    """Three warm weeks of August and the day itself."""
    first = dt.date(2026, 8, 1)
    listed = "".join(
        f'[[weather.days]]\ndate = {first + dt.timedelta(d)}\nrain = "{rain_before} mm"\ntmin = "16 C"\ntmax = "30 C"\n'
        for d in range(days)
    )
    last = first + dt.timedelta(days)
    listed += f'[[weather.days]]\ndate = {last}\nrain = "{rain_on_the_day} mm"\ntmin = "16 C"\ntmax = "30 C"\n'
    return f'[weather]\njob_day = {last}\ntoday = {last - dt.timedelta(1)}\nlatitude = "44 deg"\n{listed}'


def test_fat_clay_under_water_is_no_work_for_anybody(job, fleet, rules):
    found = grips(job('soil = "fat clay"\nstanding_water = true'), fleet, rules)
    assert {f.verdict for f in found.values()} == {"no-go"}
    assert "turn" in english(found["Wide-track 68"].says)


def test_fat_clay_slips_worse_than_silt_under_the_same_water(job, fleet, rules):
    clay, silt = (grips(job(f'soil = "{s}"\nstanding_water = true'), fleet, rules) for s in ("fat clay", "silt"))
    for name in clay:
        assert clay[name].chance <= silt[name].chance


def test_wheels_that_still_drive_straight_may_not_turn(job, fleet, rules):
    found = grips(job('soil = "lean clay"\nwetness = "wet"'), fleet, rules)
    assert "turn" in english(found["Wheeled 60"].says)
    steered = english(found["Articulated 45"].says)
    assert "turn" not in steered  # it drives round


def test_wider_turns_ask_for_less(job, fleet, rules):
    def chance(turning):
        task = f'kind = "move loose material"\nload = "1,200 lb"\nsplit = true\nturning = "{turning}"'
        return grips(job('soil = "lean clay"\nwetness = "wet"', task), fleet, rules)["Wheeled 60"].chance

    assert chance("on the spot") <= chance("ordinary") <= chance("wide")


def test_on_dry_ground_turning_says_nothing(job, fleet, rules):
    for found in grips(job('soil = "lean clay"\nwetness = "dry"'), fleet, rules).values():
        assert found.verdict == "go"
        assert "turn" not in english(found.says)


def test_three_dry_weeks_of_august_are_no_wet_grass(job, fleet, rules):
    travel = 'cover = "grass"\nsoil = "lean clay"\ntravel = { turf = "100 %" }'
    dry = grips(job(travel, weather=weather(0)), fleet, rules)
    wet = grips(job(travel, weather=weather(12)), fleet, rules)
    assert "turf wet" not in english(dry["Wheeled 60"].says)
    assert all(wet[name].value < dry[name].value for name in dry)


def test_rain_on_the_day_makes_clay_slick_and_gravel_not(job, fleet, rules):
    ground = 'cover = "grass"\nsoil = "{}"'
    for soil, slick in (("fat clay", True), ("gravel", False)):
        dry, rained = (grips(job(ground.format(soil), weather=weather(mm)), fleet, rules) for mm in (0, 6))
        for name in dry:
            assert (rained[name].value < 0.9 * dry[name].value) is slick, (soil, name)


def test_a_bucket_is_filled_where_the_pile_is(job, fleet, rules):
    ground = 'soil = "lean clay"\nwetness = "moist"\ngrade = "{}"'
    level, steep = (english(grips(job(ground.format(g)), fleet, rules)["Wheeled 60"].says) for g in ("0.5 %", "18 %"))
    assert "pushing up" not in level + steep
    grading = 'kind = "cut grade"\npush = "2,500 lbf"'
    assert "pushing up" in english(grips(job(ground.format("18 %"), grading), fleet, rules)["Wheeled 60"].says)


def test_no_push_is_an_answer(job, fleet, rules):
    task = 'kind = "move loose material"\nload = "1,200 lb"\nsplit = true\npush = "0 lbf"'
    for found in grips(job('soil = "lean clay"\nwetness = "moist"', task), fleet, rules).values():
        assert "pushing" not in english(found.says)


@pytest.mark.parametrize(("word", "group"), [("muck", "PT"), ("topsoil", "ML"), ("black topsoil", "ML")])
def test_muck_is_peat_and_topsoil_is_loam(job, word, group):
    assert job(f'soil = "{word}"\nwetness = "moist"').ground.soil == group


def test_a_load_goes_down_a_slope_as_every_crew_takes_it(job, fleet, rules):
    task = 'kind = "carry pallets"\nload = "1,700 lb"\npieces = 4'
    ground = 'soil = "lean clay"\nwetness = "dry"\ngrade = "12 %"'
    found = {s.machine.name: s.finding("lifts") for s in pick(job(ground, task), fleet, rules, draws=500).ranking}
    assert found["Wide-track 68"].verdict != "no-go"
    assert "arms level, it tips" not in english(found["Wide-track 68"].says)
