"""Capacity, tools, the clock and the road: each limit from both sides, by the handbook's own figures where it has "
"some."""

import re
from pathlib import Path

import numpy as np
import pytest
from markupsafe import Markup
from typer.testing import CliRunner

from pickrig.checks import Case, ask_all
from pickrig.checks.carrying import carry
from pickrig.checks.ground.site import draw_site
from pickrig.checks.hauls import licence, parking
from pickrig.checks.powers import GPM, PSI
from pickrig.checks.work_time import work_time
from pickrig.cli import app
from pickrig.errors import InputError
from pickrig.inputs import Trailer, Truck, read_fleet, read_job
from pickrig.inputs.machine import Auxiliary, Counterweight, Cylinder
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.rig import rig
from pickrig.report.pick.told import outs
from tests.conftest import english, si, values

EXAMPLES = Path(__file__).parents[2] / "examples"
LB, IN = 0.45359237, 0.0254


@pytest.fixture
def case_of(rules, fleet, edited):
    def case(name, *replacements, job="load-out.toml", machines=fleet, **update):
        read = read_job(edited(job, *replacements), rules)
        machine = next(m for m in machines.machines if m.name == name).model_copy(update=update)
        truck, trailer = rig(read, machines)
        return Case(read, machine, draw_site(read, rules, 2000), rules, truck=truck, trailer=trailer)

    return case


def finding(case, check):
    return next(f for f in ask_all(case) if f.check == check)


HANDBOOK = """
title = "Invented"
[[machine]]
name = "Handbook example"
kind = "skid steer"
size_class = "wheeled, large"
mass = "7,500 lb"
tipping_load = "4,586 lb"
tipping_share = "50 %"
rated_bucket = "550 lb"
coupler_reach_high = "30 in"
rear_share = "66.7 %"
[machine.tyres]
wheelbase = "44 in"
"""


def test_rated_2293_carries_1966_on_forks(tmp_path, rules, edited):
    # W 7,500 lb, L 44, rated 4,586 lb at 48 in with a 550 lb bucket at 42; forks 420 lb at 36, pallet centre 58 in: T
    # 3,933
    (tmp_path / "yard.toml").write_text(HANDBOOK)
    machines = read_fleet(tmp_path / "yard.toml", rules)
    job = read_job(edited("paver-pallets-forks.toml"), rules)
    found = finding(Case(job, machines.machines[0], draw_site(job, rules, 500), rules), "lifts")
    assert found.verdict == "no-go"
    heavy, rated = values(found.says, "lifts.too_heavy"), values(found.says, "lifts.rated")
    assert heavy["load"] == pytest.approx(2200 * LB)
    assert rated["rated"] == pytest.approx(2293 * LB)
    assert heavy["safe"] == pytest.approx(1966 * LB, abs=2 * LB)  # the generic forks are 419 lb
    assert "T_r = 4,586 lb, a_r = 48.0 in, W_b = 550 lb, c_b = 42.0 in" in english(found.told.working[0])


@pytest.mark.parametrize(("country", "share"), [("US", 0.50), ("EU", 0.60), ("UK", 0.60)])
def test_the_rule_of_the_country_holds_for_forks(case_of, country, share):
    title = ("[task]", f'country = "{country}"\n[task]')
    case = case_of("Wheeled 66", title, job="paver-pallets-forks.toml", tipping_share=None)
    assert carry(case).share == share
    paved = ('soil = "gravel"', ""), ("[access]", '[ground.travel]\nconcrete = "100 %"\n[access]')
    firm = case_of("Wheeled 66", title, *paved, job="paver-pallets-forks.toml", tipping_share=None)
    assert carry(firm).share == (0.50 if country == "US" else 0.80)


def test_a_slope_and_a_counterweight_move_the_tipping_load(case_of):
    level = carry(case_of("Wheeled 66"))
    along, slope = (
        carry(case_of("Wheeled 66", ('wetness = "dry"', f'wetness = "dry"\n{way} = "17.6 %"')))
        for way in ("grade", "grade_across")
    )
    assert along.tipping == along.level  # the heavy end uphill
    assert slope.level == pytest.approx(level.level)
    assert 0.5 < slope.tipping / slope.level < 0.85  # 10 deg: 69 % in the handbook's example
    hung = carry(case_of("Wheeled 66", counterweight=Counterweight(mass="300 lb", behind="20 in")))
    gain = 300 * LB * (45 + 20) * IN / (32 * IN + 0.457)
    assert hung.level - level.level == pytest.approx(gain, rel=1e-6)
    assert hung.mass - level.mass == pytest.approx(300 * LB)
    assert hung.rear_share > level.rear_share


def test_the_truck_has_a_side_and_a_middle(case_of):
    for name, low, high in (
        ("Wheeled 66", "94 in", "95 in"),
    ):  # hinge pin 122 in, a bucket dumps 0.60 m below it, 0.10 m clear
        reaches, falls_short = (
            finding(case_of(name, ('truck_side = "82 in"', f'truck_side = "{h}"')), "lifts") for h in (low, high)
        )
        assert (reaches.verdict, falls_short.verdict) == ("go", "no-go")
    far = finding(case_of("Wheeled 66", ('truck_reach = "18 in"', 'truck_reach = "30 in"')), "lifts")
    assert "dumps 23.6 in ahead" in english(far.says)
    radial = finding(case_of("Wheeled 66", arms="radial"), "lifts")
    assert radial.verdict == "no-go"
    own = finding(
        case_of("Wheeled 66", ('truck_reach = "18 in"', 'truck_reach = "30 in"'), dump_reach=0.9, filled=()), "lifts"
    )
    assert own.verdict == "go"


def test_goods_weigh_what_the_table_says_and_the_answer_asks_to_weigh(edited, rules, fleet):
    pavers = ('load = "2,200 lb"', 'goods = "pavers"'), ("split = false", "split = true")
    job = read_job(edited("paver-pallets-forks.toml", *pavers), rules)
    assert job.task.load == rules.goods["pavers"].pallet[1]
    assert any("weigh one" in english(note) for note in pick(job, fleet, rules).assumed)
    wet = read_job(edited("load-out.toml", ('wetness = "dry"', 'wetness = "wet"')), rules)
    dry = read_job(edited("load-out.toml"), rules)
    assert wet.task.load > dry.task.load
    with pytest.raises(InputError, match="keep one"):
        read_job(
            edited("paver-pallets-forks.toml", ('load = "2,200 lb"', 'load = "2,200 lb"\ngoods = "pavers"')), rules
        )
    with pytest.raises(InputError, match="goods_volume"):
        read_job(edited("paver-pallets-forks.toml", ('load = "2,200 lb"', 'goods = "gravel"')), rules)


def tool(case_of, name="Wide-track 68", attachment="stump grinder", **auxiliary):
    aux = {"flow": 22 * GPM, "pressure": 3300 * PSI, "case_drain": True, "free_return": False, "pins": 14} | auxiliary
    edits = ('kind = "load trucks"', f'kind = "clear brush"\nattachment = "{attachment}"')
    return finding(case_of(name, edits, auxiliary=si(Auxiliary, **aux)), "powers")


def test_a_tool_is_matched_by_flow_pressure_and_lines(case_of):
    assert tool(case_of).verdict == "go"
    assert "at least" in english(tool(case_of, flow=10 * GPM).says)
    assert tool(case_of, flow=10 * GPM).verdict == "no-go"
    assert tool(case_of, flow=10 * GPM, high_flow=22 * GPM).verdict == "caution"
    assert tool(case_of, pressure=1900 * PSI).verdict == "no-go"
    assert tool(case_of, case_drain=False).verdict == "no-go"
    assert tool(case_of, case_drain=None).verdict == "caution"
    assert "overspeeds" in english(tool(case_of, attachment="auger").says)
    breaker = {"attachment": "breaker", "flow": 20 * GPM, "pressure": 2500 * PSI}
    assert "return wants a line of its own" in english(tool(case_of, **breaker, free_return=None).says)
    assert tool(case_of, **breaker, free_return=True).verdict == "go"
    assert "7-pin" in english(tool(case_of, pins=None).says)


def test_a_tool_too_heavy_for_the_machine_is_refused(case_of):
    # 1,130 kg, 0.70 m out, against T a + m_b c_b of the bucket's rating: over the 35 % that may be used
    heavy = tool(case_of, attachment="drum mulcher", flow=38 * GPM)
    assert heavy.verdict == "no-go"
    assert "of what tips the machine" in english(heavy.says)
    share = carry(
        case_of("Wide-track 68", ('kind = "load trucks"', 'kind = "clear brush"\nattachment = "drum mulcher"'))
    ).held
    moment = 7100 * LB * (32 * IN + 0.457) + 225 * (32 * IN + 0.305)
    assert share == pytest.approx(1130 * (32 * IN + 0.70) / moment, rel=1e-6)


def test_a_heavy_tool_and_a_slope_add_up(case_of):
    # moments of the machine as fitted: T(b) = (T a - W h tan b) / (a + h_L tan b)
    edits = (
        ('kind = "load trucks"', 'kind = "load trucks"\nattachment = "snow pusher"'),
        ('wetness = "dry"', 'wetness = "dry"\ngrade_across = "20 %"'),
    )
    case = case_of("Wheeled 66", *edits)
    loading, reach = carry(case), 32 * IN + 0.60
    by_hand = (loading.level * reach - loading.mass * case.machine.centre_height * 0.2) / (reach + 1.3 * 0.2)
    assert loading.tipping == pytest.approx(by_hand)


def test_more_flow_never_makes_the_ratio_worse(case_of):
    values = [tool(case_of, flow=gpm * GPM).value for gpm in (10, 20, 30, 40, 60)]
    assert values == sorted(values)
    assert values[-1] == values[-2]  # the engine spares no more: 0.8 x 74 hp


def test_an_auger_twists_a_light_machine(case_of):
    light, heavy = (
        finding(case_of(name, job="fence-posts.toml"), "powers") for name in ("Stand-on 36", "Wide-track 68")
    )
    assert "can turn a machine this light" in english(light.says)
    assert "can turn a machine this light" not in english(heavy.says)
    assert any("twists back" in english(line) for line in light.told.working)


def test_cylinder_force_out_and_back_stands_in_the_working(case_of):
    # bore 3, rod 1.5 in, 3,000 psi: 21,206 lbf out, 15,904 in, 75 %
    tilt = Cylinder(bore="3 in", rod="1.5 in", pressure="3,000 psi", count=1)
    lines = finding(case_of("Wide-track 68", job="fence-posts.toml", tilt=tilt), "powers").told.working
    forces = values(lines, "powers.cylinders")
    assert forces["F_out"] == pytest.approx(21_206 * 4.4482216, rel=1e-4)
    assert forces["F_back"] == pytest.approx(0.75 * forces["F_out"], rel=1e-4)


def test_hauling_is_held_to_every_rating(case_of):
    good = finding(case_of("Wheeled 66"), "hauls")
    assert good.verdict == "go"
    assert "Group A" in english(good.says)  # 14,000 + 14,000 lb, trailer over 10,000
    small = (
        ('truck = "One-ton flatbed"', 'truck = "Half-ton pickup"'),
        ('trailer = "Tilt deck, 14,000 lb"', 'trailer = "Small utility, 7,000 lb"'),
    )
    over = finding(case_of("Wheeled 66", *small), "hauls")
    assert over.verdict == "no-go"
    assert over.remedy
    light = finding(case_of("Stand-on 36", *small), "hauls")
    assert light.verdict in ("go", "caution")
    assert "No commercial license" in english(light.says)


@pytest.mark.parametrize(
    ("truck", "trailer", "label", "licence"),
    # the handbook's table: 11,500 + 14,000 none; 14,000 + 14,000 A; 17,500 + 9,990 none; 26,001 + 9,990 B
    [(11_500, 14_000, None, "No commercial"), (14_000, 14_000, None, "Group A"), (17_500, 9_990, None, "No commercial"),
     (26_001, 9_990, None, "Group B"), (11_500, 14_000, 26_500, "Group A")],
)  # fmt: skip
def test_licence_class_of_the_us(case_of, fleet, truck, trailer, label, licence):
    changed = fleet.model_copy(
        update={
            "trucks": tuple(
                t.model_copy(update={"gvwr": truck * LB, "gcwr": label and label * LB, "tow_rating": None})
                for t in fleet.trucks
            ),
            "trailers": tuple(t.model_copy(update={"gvwr": trailer * LB}) for t in fleet.trailers),
        }
    )
    assert licence in english(finding(case_of("Stand-on 36", machines=changed), "hauls").says)


def test_other_countries_have_their_outline(case_of):
    for country, says in (("UK", "More than category B"), ("EU", "More than BE")):
        found = finding(case_of("Stand-on 36", ('country = "US"', f'country = "{country}"')), "hauls")
        assert says in english(found.says)  # the trailer is rated 6.35 t
        assert "National rules" in english(found.says)


def test_the_tongue_has_a_window_and_a_wrong_deck_shuts_it(case_of):
    case = case_of("Wheeled 66")
    low, high = parking(case)
    assert low < high
    lines = english(finding(case, "hauls").told.working)
    assert "Park it with its center" in lines
    assert "4 direct 3/8 G70" in lines


def test_unknown_trucks_are_told(edited, rules, fleet):
    job = read_job(edited("load-out.toml", ('truck = "One-ton flatbed"', 'truck = "One-ton flatbd"')), rules)
    with pytest.raises(InputError, match='did you mean "One-ton flatbed"'):
        pick(job, fleet, rules)


def test_time_of_a_trip_is_the_cycle(case_of):
    case = case_of("Wheeled 66")
    work = work_time(case)
    trips = work.what.value("trips")
    # 60 yd3 x 1.23 / min(1.05 x 0.48 m3, safe / 1,300 kg/m3)
    loose = 60 * 0.764555 * 1.23
    each = min(1.05 * 0.48, carry(case).safe / 1300)
    assert trips == int(np.ceil(loose / each))
    once = values(work.working(), "work.cycle")["t"]
    assert np.median(work.time) == pytest.approx(trips * once / 0.74, rel=0.06)


def hours(case_of, *replacements, name="Wheeled 66", **update):
    return float(np.median(work_time(case_of(name, *replacements, **update)).time))


def test_the_clock_moves_the_right_way(case_of):
    far = [hours(case_of, ('haul = "80 ft"', f'haul = "{d} ft"')) for d in (50, 95, 250, 600)]
    assert far == sorted(far)
    more = [hours(case_of, ('volume = "60 yd3"', f'volume = "{v} yd3"')) for v in (20, 60, 180)]
    assert more == sorted(more)
    assert hours(case_of, name="Stand-on 36") > hours(case_of, name="Wheeled 66")
    assert hours(case_of, travel_speed=2.0) >= hours(case_of, travel_speed=4.0)


def test_a_day_too_short_is_a_no_only_where_the_job_names_it(case_of):
    named = finding(case_of("Wheeled 66", ('day = "8 h"', 'day = "1 h"')), "produces")
    usual = finding(case_of("Wheeled 66", ('day = "8 h"', ""), ('volume = "60 yd3"', 'volume = "900 yd3"')), "produces")
    assert named.verdict == "no-go"
    assert usual.verdict == "caution"
    assert "days of it" in english(usual.says)


def test_nobody_publishes_rates_for_tools_so_they_are_asked_for(case_of):
    found = finding(case_of("Stand-on 36", ("holes_per_hour = 10 ", "#"), job="fence-posts.toml"), "produces")
    assert found.verdict == "unknown"
    assert "holes_per_hour = 12" in english(found.says)


def test_area_work_goes_by_speed_and_width(case_of):
    sweep = (
        ('kind = "load trucks"', 'kind = "sweep"'),
        ('volume = "60 yd3"', 'area = "1 acre"'),
        ("goods =", "#"),
        ("goods_volume", "#"),
    )
    one = hours(case_of, *sweep)
    two = hours(case_of, *(*sweep[:1], ('volume = "60 yd3"', 'area = "2 acre"'), *sweep[2:]))
    assert two == pytest.approx(2 * one)


def test_the_sheet_has_what_the_operator_needs(edited, tmp_path):
    sheet = tmp_path / "sheet.html"
    job, fleet = edited("muddy-lot.toml"), edited("fleet.toml")
    result = CliRunner().invoke(
        app, ["pick", str(job), "--fleet", str(fleet), "-o", str(tmp_path / "p.html"), "--sheet", str(sheet)]
    )
    assert result.exit_code == 0
    text = sheet.read_text()
    for needed in (
        "Wide-track 68 <small>with pallet forks",
        "2,105 lb with the pallet forks",
        "Never turn in place on asphalt",
        "Engine oil on the dipstick",
        "drain the water separator",
        "Master disconnect",
        "Stop if",
        "hooked teeth or a seized roller",
    ):
        assert needed in text
    assert "<script" not in text


def test_terms_are_linked_once_to_their_entry(answer_to):
    from pickrig.report.pick.page import as_page
    from pickrig.report.terms import linked

    page = as_page(answer_to())
    anchors = set(re.findall(r'<dt id="(word-[a-z0-9-]+)"', page))
    links = set(re.findall(r'href="#(word-[a-z0-9-]+)"', page))
    assert links
    assert links <= anchors
    text = str(linked(Markup('the coupler &amp; the "coupler" <b title="coupler">'), ["coupler"]))
    assert text.count("<a ") == 1
    assert text.endswith('&amp; the "coupler" <b title="coupler">')


def rigged(case_of, fleet, name="Wheeled 66", truck=(), trailer=(), job="load-out.toml", **update):
    machines = fleet.model_copy(
        update={
            "trucks": tuple(t.model_copy(update=dict(truck)) for t in fleet.trucks),
            "trailers": tuple(t.model_copy(update=dict(trailer)) for t in fleet.trailers),
        }
    )
    return case_of(name, machines=machines, job=job, **update)


def test_a_hitch_or_truck_that_cannot_bear_the_tongue_is_a_no(case_of, fleet):
    weak = finding(rigged(case_of, fleet, truck={"hitch_rating": 500 * LB}), "hauls")
    assert weak.verdict == "no-go"
    assert "it sways" in english(weak.says)
    full = finding(rigged(case_of, fleet, truck={"mass": 13_900 * LB}), "hauls")
    assert full.verdict == "no-go"
    cut = parking(rigged(case_of, fleet, truck={"hitch_rating": 1400 * LB}))
    whole = parking(rigged(case_of, fleet))
    assert cut[0] > whole[0]  # less on the tongue: it stands farther back
    assert cut[1] == whole[1]


def test_what_nobody_gave_never_makes_a_plain_go(case_of, fleet):
    for kind, key in (
        ("truck", "hitch_rating"),
        ("trailer", "axles_at"),
        ("trailer", "ramp_length"),
        ("trailer", "tie_down"),
    ):
        found = finding(rigged(case_of, fleet, **{kind: {key: None}}), "hauls")
        assert found.verdict == "caution", key
        assert f"{kind}.{key}" in english(found.says)


def test_steep_ramps_short_decks_and_few_chains(case_of, fleet):
    assert finding(rigged(case_of, fleet, trailer={"ramp_length": 1.6}), "hauls").verdict == "no-go"
    assert finding(rigged(case_of, fleet, trailer={"ramp_length": 1.9}), "hauls").verdict == "caution"
    assert finding(rigged(case_of, fleet, trailer={"deck_length": 1.0}), "hauls").verdict == "no-go"
    assert finding(rigged(case_of, fleet, trailer={"tie_down": "1/4 G30"}), "hauls").verdict == "caution"
    assert finding(rigged(case_of, fleet, trailer={"tie_downs": 2}), "hauls").verdict == "caution"


def test_the_machine_travels_with_its_tool_and_nobody_on_it(case_of):
    bare = finding(case_of("Stand-on 36", job="fence-posts.toml"), "hauls")
    # 3,300 lb less a 75 kg bucket, plus a 90 kg auger
    assert values(bare.says, "hauls.machine")["weight"] == pytest.approx(3300 * LB + 90 - 75, abs=1)


def test_buried_lines_nobody_spoke_of_are_to_be_found_out(edited, rules, fleet):
    silent = read_job(edited("fence-posts.toml", ('services = "marked"', 'septic = "none"')), rules)
    assert any("buried lines" in english(proviso) for proviso in pick(silent, fleet, rules).provisos)
    told = read_job(edited("fence-posts.toml"), rules)
    assert not any("buried lines" in english(proviso) for proviso in pick(told, fleet, rules).provisos)


def test_a_heavy_pallet_is_thought_of(case_of):
    pavers = ('load = "2,200 lb"', 'goods = "pavers"')
    found = finding(case_of("Articulated 45", pavers, job="paver-pallets-forks.toml", tipping_load=3300.0), "lifts")
    assert "weigh one first" in english(found.says)
    assert found.verdict != "go"


@pytest.mark.parametrize(
    ("name", "edit", "says"),
    [
        ("load-out.toml", ('volume = "60 yd3"', 'volume = "60 yd3"\nholes = 3'), "keep one of them"),
        ("load-out.toml", ('goods = "topsoil" ', "#"), "not of what"),
        ("load-out.toml", ('goods_volume = "0.5 yd3"', 'goods_volume = "500 yd3"'), "what goes in one trip"),
        ("fleet.toml", ('tie_down = "3/8 G70"', 'tie_down = "3/8 grade 70"'), "not rated here"),
        ("fleet.toml", ('name = "Half-ton pickup"', 'name = "One-ton flatbed"'), "name of another truck"),
        ("fleet.toml", ('mass = "3,400 lb"', 'mass = "15,000 lb"'), "gvwr or more empty"),
        ("fleet.toml", ('gcwr = "30,000 lb"', 'gcwr = "13,000 lb"'), "gcwr below its gvwr"),
    ],
)
def test_odd_rigs_and_amounts_are_told_in_a_sentence(edited, rules, name, edit, says):
    with pytest.raises(InputError, match=says):
        (read_fleet if name == "fleet.toml" else read_job)(edited(name, edit), rules)


def test_the_sheet_has_licence_and_tie_downs_when_hauled(edited, tmp_path):
    sheet = tmp_path / "s.html"
    job, fleet = edited("load-out.toml"), edited("fleet.toml")
    CliRunner().invoke(
        app, ["pick", str(job), "--fleet", str(fleet), "-o", str(tmp_path / "p.html"), "--sheet", str(sheet)]
    )
    text = sheet.read_text()
    for needed in (
        "Tilt deck, 14,000 lb, hauled by One-ton flatbed",
        "Group A",
        "3/8 G70",
        "20 ft from any power line",  # the job says they are there
        "Trailer: level ground",
        "Nobody beside, behind or in front of the ramps",
        "under raised arms",
    ):
        assert needed in text


def test_brush_by_volume_asks_nothing_of_lifting_and_is_told(tmp_path, fleet, rules):
    text = 'title = "Brush"\n[task]\nkind = "clear brush"\nvolume = "2 yd3"\n[ground]\nsoil = "backfill"\n'
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    answer = pick(read_job(tmp_path / "job.toml", rules), fleet, rules, draws=200)
    assert "lifts" not in {finding.check for finding in answer.ranking[0].findings}
    assert answer.pick is None
    assert all(len(told) > 1 for told in outs(answer))  # each says what stands in its way


@pytest.mark.parametrize(
    ("country", "truck", "trailer", "says"),
    [  # kg, the plates; rules/transport.toml has the limits and says where they come from
        ("EU", 3500, 750, "Category B in the EU"),
        ("EU", 2700, 800, "Category B in the EU"),
        ("EU", 3500, 750.1, "BE"),
        ("EU", 3450, 800, "B with code 96"),
        ("EU", 3450, 801, "BE"),
        ("EU", 3500, 3500, "BE"),
        ("EU", 3500, 3501, "More than BE"),
        ("EU", 3501, 700, "More than BE"),
        ("UK", 3500, 3500, "Category B in Great Britain"),
        ("UK", 3501, 700, "More than category B"),
        ("UK", 3500, 3501, "More than category B"),
    ],
)
def test_the_licence_goes_by_the_plates(rules, fleet, muddy_lot, country, truck, trailer, says):
    job = muddy_lot.model_copy(update={"country": country})
    rig = si(Truck, name="T", mass=2000.0, gvwr=float(truck), gcwr=None)
    towed = si(Trailer, name="A", mass=500.0, gvwr=float(trailer))
    case = Case(job, fleet.machines[0], draw_site(job, rules, 10), rules, truck=rig, trailer=towed)
    told = english(licence(case))
    assert told.startswith((f"{says} (", f"{says}:"))


def test_a_page_in_the_other_language_lies_beside_and_each_leads_to_the_other(tmp_path):
    page = tmp_path / "lot.html"
    told = ["pick", str(EXAMPLES / "muddy-lot.toml"), "--fleet", str(EXAMPLES / "fleet.toml"), "-o", str(page)]
    assert CliRunner().invoke(app, [*told, "--also", "es"]).exit_code == 0
    assert 'href="lot.es.html">En español' in page.read_text(encoding="utf-8")
    assert 'href="lot.html">In English' in (tmp_path / "lot.es.html").read_text(encoding="utf-8")
    assert CliRunner().invoke(app, [*told, "--also", "metric"]).exit_code == 0
    assert " mm" in (tmp_path / "lot.metric.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--why"], "Every machine"),
        (["--why", "--seed", "1"], "Every machine"),
        (["--why", "gate"], "Does it get in and turn?"),
    ],
)
def test_why_says_what_the_short_answer_leaves_out(tmp_path, words, says):
    told = ["pick", str(EXAMPLES / "muddy-lot.toml"), "--fleet", str(EXAMPLES / "fleet.toml")]
    done = CliRunner().invoke(app, [*told, "-o", str(tmp_path / "p.html"), *words])
    assert done.exit_code == 0, done.output
    assert says in done.output
    assert done.output.splitlines()[0] == "Wide-track 68 with pallet forks. Best bet, not a sure one."


def test_why_of_a_question_that_is_not_asked_writes_nothing(tmp_path):
    told = ["pick", str(EXAMPLES / "muddy-lot.toml"), "--fleet", str(EXAMPLES / "fleet.toml")]
    done = CliRunner().invoke(app, [*told, "-o", str(tmp_path / "p.html"), "--why", "weather"])
    assert done.exit_code != 0
    assert not (tmp_path / "p.html").exists()
