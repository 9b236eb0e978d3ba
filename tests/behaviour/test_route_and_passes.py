"""What the ground gives along a route, and what a machine asks of it by its own trips."""

import itertools

import numpy as np
import pytest

from pickrig.checks.ground.draws import draw_luck
from pickrig.checks.ground.route import weakest
from pickrig.checks.ground.site import draw_site
from pickrig.inputs import read_job
from pickrig.physics import cone_index
from pickrig.plans.pick.answer import pick
from tests.conftest import english

CLAY = 'soil = "lean clay"\nwetness = "wet"'


@pytest.fixture
def job(tmp_path, rules):
    def make(ground=CLAY, task='load = "1,700 lb"\nsplit = true\npieces = 14'):
        path, kind = tmp_path / "job.toml", "" if "kind" in task else 'kind = "carry pallets"\n'
        path.write_text(f'title = "invented"\n[task]\n{kind}{task}\n[ground]\n{ground}\n[access]\ngate = "open"\n')
        return read_job(path, rules)

    return make


def floats(job, fleet, rules):
    return {s.machine.name: s.finding("floats") for s in pick(job, fleet, rules, draws=2000).ranking}


def test_four_pallets_ask_less_than_two_hundred_and_a_crossing_least(job, fleet, rules):
    def chances(task):
        return {name: f.chance for name, f in floats(job(task=task), fleet, rules).items()}

    load = 'load = "1,700 lb"\nsplit = true\n'
    once, few, many = (chances(load + more) for more in ('passes = "once"', "pieces = 4", "pieces = 200"))
    for name in once:
        assert once[name] >= few[name] >= many[name]
    assert few["Wide-track 68"] > many["Wide-track 68"] + 0.05


def test_a_machine_that_has_to_go_twice_passes_twice_as_often(job, fleet, rules):
    found = floats(job(task='load = "1,700 lb"\nsplit = true\npieces = 3'), fleet, rules)
    passes = {name: dict(f.says[0].values)["passes"] for name, f in found.items()}
    assert passes["Wide-track 68"] == 6
    assert passes["Stand-on 36"] > 6


def test_passes_may_be_counted(job, fleet, rules):
    given = floats(job(task='load = "1,700 lb"\nsplit = true\npasses = 8'), fleet, rules)
    by_trips = floats(job(task='load = "1,700 lb"\nsplit = true\npieces = 4'), fleet, rules)
    assert given["Wide-track 68"].chance == by_trips["Wide-track 68"].chance


@pytest.mark.parametrize("soil", ["lean clay", "silt", "silty sand", "organic silt"])
def test_a_longer_route_is_never_stronger(job, rules, soil):
    routes = ["10 ft", "100 ft", "300 ft", "900 ft"]
    sites = [draw_site(job(f'soil = "{soil}"\nwetness = "wet"\nroute = "{r}"'), rules, 1000) for r in routes]
    for shorter, longer in itertools.pairwise(sites):
        assert np.all(longer.strength <= shorter.strength + 1e-9)


@pytest.mark.parametrize(("route", "net"), [("30 m", 0.83), ("60 m", 0.75), ("100 m", 0.69), ("200 m", 0.62)])
def test_the_net_factor_of_a_route_is_that_of_the_simulations(job, rules, route, net):
    # within-lot spread 0.3, correlation length 10 m, what the test lanes hold themselves put back
    factor = weakest(job(f'soil = "silt"\nwetness = "wet"\nroute = "{route}"'), rules, draw_luck(8000, 0))
    assert float(np.median(factor)) == pytest.approx(net, abs=0.03)


def test_a_short_way_is_not_stronger_than_the_lot(job, rules):
    short, usual = (
        draw_site(job(f'soil = "lean clay"\nwetness = "dry"\nroute = "{r}"'), rules, 1000) for r in ("5 ft", "30 m")
    )
    assert np.all(short.strength == usual.strength)
    assert np.max(short.strength) <= cone_index.FULL_SCALE


def test_two_trenches_are_no_two_trips(job, fleet, rules):
    dug = floats(job(task='kind = "trench"\nvolume = "1 yd3"'), fleet, rules)
    assert {dict(f.says[0].values)["passes"] for f in dug.values() if "passes" in dict(f.says[0].values)} == {50}


def test_no_soil_looks_surer_than_organic_silt_the_least_known(job, rules):
    def spread(soil):
        low, _, high = draw_site(job(f'soil = "{soil}"\nmoisture = "30 %"'), rules, 4000).tenths
        return np.log(high / low)

    assert spread("organic silt") > max(spread(soil) for soil in ("silt", "lean clay", "elastic silt"))


def test_the_total_spread_of_a_strength_guessed_from_soil_and_moisture(job, rules):
    low, _, high = draw_site(job('soil = "silt"\nmoisture = "28 %"'), rules, 4000).tenths
    assert np.log(high / low) / 2.563 == pytest.approx(0.5, abs=0.12)  # of its logarithm


def test_like_machines_come_out_alike_whatever_they_are_called(job, fleet, rules):
    twin = fleet.machines[1].model_copy(update={"name": "Another of the kind"})
    both = fleet.model_copy(update={"machines": [*fleet.machines, twin]})
    found = floats(job(), both, rules)
    assert found["Another of the kind"].chance == found[fleet.machines[1].name].chance


def test_where_the_published_equations_part_the_answer_says_so(job, fleet, rules):
    told = english(floats(job(), fleet, rules)["Tracked 64"].says)
    assert "One published equation says" in told
    assert "test the ground tonight" in told
    tested = english(floats(job(CLAY + '\nthumb = "thumb dents"'), fleet, rules)["Tracked 64"].says)
    assert "One published equation" not in tested


def test_a_cone_is_told_a_reading_that_this_ground_can_give(job, fleet, rules):
    for soil in ("lean clay", "silt", "silty sand", "fat clay"):
        site = draw_site(job(f'soil = "{soil}"\nwetness = "wet"'), rules, 2000)
        for found in floats(job(f'soil = "{soil}"\nwetness = "wet"'), fleet, rules).values():
            dial = [said for said in found.says if said.key == "floats.dial"]
            for said in dial:
                assert dict(said.values)["reading"].value <= np.max(site.undisturbed)


def test_a_slope_across_asks_more_and_one_up_and_down_no_less(job, fleet, rules):
    def needs(slope):
        found = floats(job(CLAY + slope, 'load = "900 lb"\nsplit = true'), fleet, rules)
        return {name: max(demand.strength for demand in f.demands) for name, f in found.items()}

    level, across, steeper = needs(""), needs('\ngrade_across = "8 %"'), needs('\ngrade_across = "16 %"')
    for name in level:
        assert level[name] < across[name] < steeper[name]
        assert across[name] < 1.25 * level[name]  # 5 degrees: 0.55 of the weight on the downhill side
    along = needs('\ngrade = "12 %"')
    assert all(along[name] >= level[name] for name in level)
