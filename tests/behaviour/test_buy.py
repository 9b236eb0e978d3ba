"""The owner's year: what the files refuse, days that move the right way, books that add up, an answer that flips."""

import datetime as dt
import json
import re
import shutil
from dataclasses import replace
from html.parser import HTMLParser

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from pickrig.cli import app
from pickrig.errors import InputError
from pickrig.inputs import read_fleet
from pickrig.inputs.machine import Deal
from pickrig.inputs.year import read_year
from pickrig.physics import cost
from pickrig.plans.buy.accounts import Books
from pickrig.plans.buy.answer import buy
from pickrig.plans.buy.capability import ask_field
from pickrig.plans.buy.owning import AS_IT_IS, hourly, rent_for, resale_share, yearly
from pickrig.plans.buy.schedule import best_plan, working_hours
from pickrig.plans.buy.what_if import price_to_match
from pickrig.report.buy.json import as_buy_dict, as_buy_json
from pickrig.report.buy.page import as_buy_page
from pickrig.report.buy.terminal import as_buy_text
from tests.conftest import english, keys, values

DRAWS = 100


@pytest.fixture
def changed(yard, tmp_path):
    """The folder again with texts of one file replaced."""

    def change(name, *replacements):
        folder = shutil.copytree(yard, tmp_path / "yard", dirs_exist_ok=True)
        text = (folder / name).read_text(encoding="utf-8")
        for old, new in replacements:
            assert old in text
            text = text.replace(old, new)
        (folder / name).write_text(text, encoding="utf-8")
        return folder

    return change


def bought(folder, rules, **options):
    year = read_year(folder / "year.toml", rules)
    return buy(year, read_fleet(folder / "candidates.toml", rules), rules, **{"draws": DRAWS, **options})


@pytest.fixture(scope="session")
def usual(yard, rules):
    return bought(yard, rules)


@pytest.fixture(scope="session")
def books(yard, rules):
    year, fleet = read_year(yard / "year.toml", rules), read_fleet(yard / "candidates.toml", rules)
    machines = tuple(sorted(fleet.machines, key=lambda m: m.name))
    field = ask_field(year, machines, fleet, rules, DRAWS, 0, lambda _done, _of: None)
    return Books(field, year, rules, tuple(i for i, m in enumerate(machines) if m.name in year.have))


@pytest.mark.parametrize(
    ("name", "old", "new", "told"),
    [
        ("year.toml", '"muddy-lot.toml"', '"no-such.toml"', "no-such.toml"),
        ("year.toml", "[12, 1, 2, 3]", "[12, 13]", "13"),
        ("year.toml", "[12, 1, 2, 3]", "[12, 12]", "names a month twice"),
        ("year.toml", 'rate = "7 %"', "rate = 7", "rate"),
        ("year.toml", "keep_years = 5", "keep_years = 0", "keep_years"),
        ("year.toml", "budget", "buget", "budget"),
        ("year.toml", '"ten-years.csv"', '"nowhere.csv"', "nowhere.csv"),
        ("year.toml", '["Wheeled 60"]', '["Wheeled 6"]', "Wheeled 60"),
        ("year.toml", '"$38"', '"-$38"', "operator_hour"),
        ("candidates.toml", 'list_price = "$41,000"', 'list_price = "$31,000"', "above its list_price"),
        ("year.toml", 'job = "ponding-silt.toml"', 'job = "muddy-lot.toml"', "stands there twice"),
        ("candidates.toml", 'rent_week = "$620"', 'rent_week = "$100"', "rise in that order"),
        ("ten-years.csv", "2016-02-29,", "2016-02-28,", "2016-02-28 stands there twice"),
        ("ten-years.csv", "2016-02-29,", "2016-02-30,", "2016-02-30"),
        ("ten-years.csv", "rain (in)", "rain", "unit"),
    ],
)
def test_a_fault_is_one_sentence_that_names_it(changed, rules, name, old, new, told):
    with pytest.raises(InputError) as error:
        bought(changed(name, (old, new)), rules)
    assert told in str(error.value)


def rewritten(folder, rewrite):
    path = folder / "ten-years.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    head = [line for line in lines if not line[:4].isdigit()]
    path.write_text("\n".join([*head, *rewrite([line for line in lines if line[:4].isdigit()])]) + "\n", "utf-8")
    return folder


def test_less_than_a_calendar_year_is_refused(changed, rules):
    folder = rewritten(changed("year.toml"), lambda days: days[40:300])
    with pytest.raises(InputError, match="whole calendar year"):
        read_year(folder / "year.toml", rules)


def test_a_gap_is_filled_with_the_mean_rain_and_told(changed, rules):
    folder = rewritten(changed("year.toml"), lambda days: days[:100] + days[103:])
    year = read_year(folder / "year.toml", rules)
    assert len(year.days) == 366 + 365
    rain = [day.rain for day in year.days]
    kept = rain[:100] + rain[103:]
    assert rain[100:103] == pytest.approx([sum(kept) / len(kept)] * 3)
    assert values(year.notes, "assumed.mean_rain")["days"][0] == dt.date(2016, 4, 10)


def test_rain_below_zero_counts_as_no_figure(changed, rules):
    folder = rewritten(
        changed("year.toml"),
        lambda days: [d.replace(d.split(",")[1], "-99", 1) if d.startswith("2016-07-04") else d for d in days],
    )
    year = read_year(folder / "year.toml", rules)
    assert all(day.rain >= 0 for day in year.days)
    assert values(year.notes, "assumed.mean_rain")["days"] == (dt.date(2016, 7, 4),)


def test_a_day_without_temperatures_takes_its_neighbours(changed, rules):
    folder = rewritten(
        changed("year.toml"),
        lambda days: [",".join(d.split(",")[:2]) + ",," if d.startswith("2016-07") else d for d in days],
    )
    year = read_year(folder / "year.toml", rules)
    by_date = {day.date: day for day in year.days}
    assert by_date[dt.date(2016, 7, 3)].tmin == by_date[dt.date(2016, 6, 30)].tmin
    assert by_date[dt.date(2016, 7, 30)].tmax == by_date[dt.date(2016, 8, 1)].tmax


def test_only_whole_calendar_years_count(changed, rules):
    folder = rewritten(changed("year.toml"), lambda days: days[20:])
    assert read_year(folder / "year.toml", rules).years == (2016, 2017)
    folder = rewritten(folder, lambda days: days[20:])
    year = read_year(folder / "year.toml", rules)
    assert year.years == (2017,)
    assert any("2016 is left out: 40 days" in english(note) for note in year.notes)


def test_more_rain_never_gives_more_workable_days(usual, changed, rules):
    def wetter(days):
        return [f"{date},{1.5 * float(rain):.3f},{rest}" for date, rain, rest in (d.split(",", 2) for d in days)]

    wet = bought(rewritten(changed("year.toml"), wetter), rules)
    fewer = 0
    for name, days in usual.days.items():
        for before, after in zip(days, wet.days[name], strict=True):
            assert after.middle <= before.middle + 1e-9
            assert after.worst <= before.worst + 1e-9
            fewer += after.middle < before.middle
    assert fewer > 0


def test_pavement_gives_every_day_and_broad_tracks_more_than_narrow_tyres_on_silt(usual):
    names = [work.name for work in usual.year.works]
    asphalt = next(i for i, work in enumerate(usual.year.works) if "asphalt" in work.name)
    silt = next(i for i, name in enumerate(names) if "silt" in name)
    assert all(days[asphalt].middle == days[asphalt].of for days in usual.days.values())
    assert usual.days["Wide-track 68"][silt].middle > usual.days["Wheeled 60"][silt].middle


def test_the_books_add_up(usual):
    for option in usual.options:
        assert option.net == pytest.approx(np.mean(option.nets))
        assert min(option.nets) <= option.net <= max(option.nets)
        if option.how == "own":
            assert option.cost == pytest.approx(option.yearly.total)
        if option.hours > 1:
            paid = option.hourly.total - (option.hourly.repair if option.how == "rent" else 0)
            running = paid * option.meter / option.hours
            assert option.an_hour == pytest.approx(option.cost / option.hours + running + usual.year.operator_hour)
    nets = [option.net for option in usual.options]
    assert nets == sorted(nets, reverse=True)


def test_the_order_of_the_file_plays_no_part(yard, usual, rules):
    fleet = read_fleet(yard / "candidates.toml", rules)
    turned = fleet.model_copy(update={"machines": tuple(reversed(fleet.machines))})
    again = buy(read_year(yard / "year.toml", rules), turned, rules, draws=DRAWS)
    assert as_buy_dict(again) == as_buy_dict(usual)


def test_what_pays_nothing_is_not_bought(changed, rules):
    pays = [(f'pays = "${sum_}"', 'pays = "$1"') for sum_ in ("1,450", "1,700", "620", "1,150", "340")]
    answer = bought(changed("year.toml", *pays), rules)
    assert answer.best is None
    assert english(answer.answer).startswith("Buy and rent nothing")
    assert answer.tornado == ()


def test_nothing_above_the_budget_is_bought(changed, rules):
    answer = bought(changed("year.toml", ('budget = "$95,000"', 'budget = "$50,000"')), rules)
    assert answer.best is not None
    assert answer.best.how == "rent" or answer.best.machine.deal.price <= 50_000
    assert all(pair.price <= 50_000 for pair in answer.pairs)


def test_two_together_lead_where_they_leave_clearly_more(usual):
    best = usual.pairs[0]
    assert best.net > usual.best.net + 1000
    assert all(option.name in english(usual.answer) for option in best.options)
    assert any("Of one alone" in english(told) for told in usual.beside)
    assert len({frozenset(o.name for o in pair.options) for pair in usual.pairs}) == len(usual.pairs)


def test_one_kind_of_work_written_as_two_leaves_the_same(usual, changed, rules):
    """The dry days of two works on the same ground are the same days."""
    whole = """[[work]]
job = "muddy-lot.toml"           # a typical one
jobs = 45
times = 6                        # six times what the job file says makes one job
"""
    first = whole.replace("jobs = 45", "jobs = 30")
    rest = 'months = [4, 5, 6, 7, 8, 9, 10]\npays = "$1,450"\n\n'
    second = whole.replace("jobs = 45", 'name = "the other half"\njobs = 15')
    split = bought(changed("year.toml", (whole + rest, first + rest + second + rest)), rules)
    for option in usual.options:
        twin = next(o for o in split.options if (o.name, o.how) == (option.name, option.how))
        assert twin.net == pytest.approx(option.net, abs=1.0)


def test_a_month_that_does_not_pay_its_hire_is_not_hired(books):
    for m in range(len(books.field.machines)):
        if m in books.owned:
            continue
        venture = books.venture(((m, "rent"),))
        earned = venture.margins - books.plan(books.owned).margins
        assert np.all(earned - venture.rents[0] >= -1e-6)
        assert np.all((venture.rents[0] > 0) == (venture.jobs[0].sum(axis=0) > 1e-9))


def test_less_rain_never_gives_fewer_workable_days_even_after_frost(usual, changed, rules):
    def drier(days):
        return [f"{date},{0.2 * float(rain):.3f},{rest}" for date, rain, rest in (d.split(",", 2) for d in days)]

    dry = bought(rewritten(changed("year.toml"), drier), rules)
    for name, days in usual.days.items():
        for before, after in zip(days, dry.days[name], strict=True):
            assert after.middle >= before.middle - 1e-9


def test_at_the_price_told_another_leaves_as_much(books, rules):
    names = [m.name for m in books.field.machines]
    other = books.option(names.index("Stand-on 36"), "own")
    best = replace(other, gains=tuple(gain + 1200 for gain in other.gains))
    price = price_to_match(books, best, other)
    assert price_to_match(books, other, best) is None
    cheaper = other.machine.model_copy(update={"deal": other.machine.deal.model_copy(update={"price": price})})
    # The same machine at that price sells for the same in the end.
    resale = other.yearly.resale / price
    cheaper = cheaper.model_copy(update={"deal": cheaper.deal.model_copy(update={"resale": resale})})
    owning = yearly(cheaper, other.meter, books.year, rules)
    assert other.gain - owning.total == pytest.approx(best.net, abs=0.01)


def test_at_the_hours_told_owning_costs_what_renting_does(usual):
    own = next(o for o in usual.options if o.how == "own" and o.name == usual.break_even_of)
    hours, owned = zip(*usual.owned_curve, strict=True)
    for offer in usual.break_even:
        rented = offer.rent + own.hourly.total - own.hourly.repair
        if offer.hours is None:
            assert owned[-1] >= rented
        else:
            assert np.interp(offer.hours, hours, owned) == pytest.approx(rented, rel=0.01)


def test_on_pavement_alone_wheels_win_and_the_line_shows_it(changed, rules):
    """With an empty yard and mostly sealed ground, an owner of long standing would buy tyres, not wear out tracks."""
    sealed = changed(
        "year.toml", ("jobs = 70\n", "jobs = 400\n"), ("jobs = 45\n", "jobs = 2\n"), ("jobs = 30\n", "jobs = 1\n")
    )
    text = (sealed / "year.toml").read_text(encoding="utf-8").replace('have = ["Wheeled 60"]', "have = []")
    (sealed / "year.toml").write_text(text, encoding="utf-8")
    answer = bought(sealed, rules)
    assert answer.best.machine.gear == "tyres"
    muddy = changed("year.toml", ("jobs = 70\n", "jobs = 5\n"))
    text = (muddy / "year.toml").read_text(encoding="utf-8").replace('have = ["Wheeled 60"]', "have = []")
    (muddy / "year.toml").write_text(text, encoding="utf-8")
    answer = bought(muddy, rules)
    assert answer.best.machine.gear == "tracks"
    line = answer.paved
    assert line.crossing is not None
    assert line.now < line.crossing < 1
    assert line.ahead > 0
    assert line.best[0] > line.rival[0]
    assert line.best[-1] < line.rival[-1]
    assert any("of the hours on pavement" in english(change) for change in answer.changes)


def test_json_html_and_text_say_the_same(usual):
    page, text, record = as_buy_page(usual), as_buy_text(usual), json.loads(as_buy_json(usual))
    assert "NaN" not in as_buy_json(usual)
    told = english(usual.answer)
    assert record["answer"] == told
    assert told in page.replace("&#39;", "'")
    assert told in " ".join(text.split())
    HTMLParser().feed(page)
    assert "<script" not in page
    assert page.count('class="plot"') == 2


def test_the_command_writes_its_page_and_says_three_when_nothing_is_worth_having(changed, tmp_path):
    pays = [(f'pays = "${sum_}"', 'pays = "$1"') for sum_ in ("1,450", "1,700", "620", "1,150", "340")]
    folder = changed("year.toml", *pays)
    page = tmp_path / "page.html"
    run = CliRunner().invoke(
        app, ["buy", str(folder / "year.toml"), "--fleet", str(folder / "candidates.toml"), "-o", str(page)]
    )
    assert run.exit_code == 3, run.output
    assert "Buy and rent nothing" in page.read_text(encoding="utf-8")


def deal(**keys):
    return Deal.model_validate(keys)


def test_owning_without_interest_is_the_plain_sum(yard, rules):
    fleet = read_fleet(yard / "candidates.toml", rules)
    machine = next(m for m in fleet.machines if m.name == "Tracked 64")
    year = read_year(yard / "year.toml", rules).model_copy(update={"rate": 0.0})
    owning = yearly(machine, 500.0, year, rules)
    share = resale_share(machine.deal, 500.0, 5.0, rules)
    assert owning.total == pytest.approx((66_000 * (1 - share) - 3_300) / 5 + 0.02 * 66_000)


def test_worth_today_is_the_cash_flows_discounted(usual):
    """Price now but for the first set of rubber, which is paid by the hour; what is left each year; resale at the "
    "end."""
    option = next(o for o in usual.options if o.how == "own" and o.hours < 1000)
    rate, years = usual.year.rate, usual.year.keep_years
    assert option.yearly.kept == years
    gear = option.machine.tracks or option.machine.tyres
    flows = [gear.set_price - option.machine.deal.price, *[option.gain - option.yearly.insurance] * years]
    flows[-1] += option.yearly.resale
    assert option.worth_now == pytest.approx(sum(flow / (1 + rate) ** t for t, flow in enumerate(flows)))


def test_more_hours_never_lower_the_year_nor_raise_the_hour(yard, rules):
    machine = next(m for m in read_fleet(yard / "candidates.toml", rules).machines if m.name == "Tracked 64")
    year = read_year(yard / "year.toml", rules)
    hours = np.arange(50, 3000, 25)
    fixed = np.array([yearly(machine, float(h), year, rules).total for h in hours])
    whole = fixed + hours * hourly(machine, 5.0, 500.0, year, rules).total
    assert np.all(np.diff(whole) > 0)
    assert np.all(np.diff(fixed) >= -1e-9)
    assert np.all(np.diff(fixed / hours) <= 1e-9)


@pytest.mark.parametrize(
    ("hours", "dollars"),
    # day $300, week $1,000, month $2,800, move $100: 3 days; 4 days cost more than a week; a week and 2 days; a month
    [(0, 0), (24, 1000), (32, 1100), (56, 1700), (120, 2900), (177, 2900), (200, 3500)],
)
def test_rent_takes_the_cheapest_mix(rules, hours, dollars):
    one = deal(rent_day="$300", rent_week="$1,000", rent_month="$2,800", rent_move="$100")
    assert rent_for(hours, one, rules) == pytest.approx(dollars)


def test_a_month_of_working_days():
    assert working_hours(5, 8 * 3600).sum() == pytest.approx(365 * 5 / 7 * 8)


amounts = st.floats(0.5, 40)


@given(st.lists(st.tuples(amounts, amounts, st.floats(-500, 3000)), min_size=1, max_size=6), st.floats(1, 300))
def test_one_machine_with_every_day_takes_the_best_paid_hours_first(works, available):
    """The fractional knapsack has a closed form: fill by $ an hour."""
    hours, wanted, margins = (np.array(column) for column in zip(*works, strict=True))
    left, best = available, 0.0
    for k in np.argsort(-margins / hours):
        done = min(wanted[k], left / hours[k]) if margins[k] > 0 else 0.0
        left, best = left - done * hours[k], best + done * margins[k]
    plan = best_plan(
        hours[None],
        np.ones((1, len(works), 1)),
        np.ones((1, len(works), 1)),
        margins[None],
        wanted[:, None],
        np.array([available]),
        np.array([available]),
    )
    assert plan.margins.sum() == pytest.approx(best, rel=1e-6, abs=1e-6)


@given(st.integers(0, 2**32 - 1))
def test_another_machine_or_more_work_never_earns_less_and_nothing_is_done_twice(seed):
    luck = np.random.default_rng(seed)
    hours = luck.uniform(1, 30, (3, 4))
    hours[luck.random((3, 4)) < 0.2] = np.inf
    shares, margins = luck.random((3, 4, 12)), luck.uniform(-100, 900, (3, 4))
    wanted, available = luck.uniform(0, 9, (4, 12)), luck.uniform(50, 180, 12)
    reach, people = luck.random((3, 4, 12)), luck.uniform(1, 3) * available
    two = best_plan(hours[:2], shares[:2], reach[:2], margins[:2], wanted, available, people)
    three = best_plan(hours, shares, reach, margins, wanted, available, people)
    more = best_plan(hours, shares, reach, margins, 1.2 * wanted, available, people)
    assert two.margins.sum() <= three.margins.sum() + 1e-6 <= more.margins.sum() + 2e-6
    spent = np.where(np.isfinite(hours), hours, 0.0)[:, :, None] * three.jobs
    assert np.all(three.jobs.sum(axis=0) <= wanted + 1e-7)
    assert np.all(spent.sum(axis=1) <= available + 1e-6)
    assert np.all(spent <= shares * available + 1e-6)
    assert np.all(three.jobs <= reach * wanted + 1e-7)
    assert np.all(three.jobs[:2].sum(axis=0) <= reach[:2].max(axis=0) * wanted + 1e-7)
    assert np.all(spent.sum(axis=(0, 1)) <= people + 1e-6)
    assert np.all(three.jobs[~np.isfinite(hours)] == 0)


def test_a_year_whose_jobs_are_hauled_asks_the_road_and_misses_a_truck_it_has_not(yard, rules, tmp_path):
    folder = shutil.copytree(yard, tmp_path / "yard")
    text = (folder / "back-garden.toml").read_text(encoding="utf-8")
    haul = '\n[haul]\ntruck = "One-ton flatbed"\ntrailer = "Tilt deck, 14,000 lb"\n'
    (folder / "back-garden.toml").write_text(text + haul, encoding="utf-8")
    year = read_year(folder / "year.toml", rules)
    with pytest.raises(InputError, match='"One-ton flatbed" is not in'):
        buy(year, read_fleet(folder / "candidates.toml", rules), rules, draws=20)
    rigs = (folder / "fleet.toml").read_text(encoding="utf-8")
    rigs = rigs[rigs.index("[[truck]]") :]
    fleet = (folder / "candidates.toml").read_text(encoding="utf-8")
    (folder / "candidates.toml").write_text(f"{fleet}\n{rigs}", encoding="utf-8")
    assert buy(year, read_fleet(folder / "candidates.toml", rules), rules, draws=20).options


def rained(line):
    """Next to no rain: a shower on New Year's Day."""
    return ",0.1," if "-01-01" in line else ",0.0,"


def test_a_dry_year_on_lean_clay_gives_wheels_most_days_and_a_wet_one_fewer(changed, rules):
    """The ground of most lots holds wheels when it is dry, whatever the softest lot does."""
    dry = rewritten(
        changed("year.toml"), lambda days: [re.sub(r",[^,]*,", rained(line), line, count=1) for line in days]
    )
    days = bought(dry, rules).days["Wheeled 60"][0]
    assert days.middle > 0.8 * days.of
    usual = bought(changed("year.toml"), rules).days["Wheeled 60"][0]
    assert usual.middle < days.middle
    assert usual.soft <= usual.middle <= usual.firm


def test_the_hours_of_a_job_are_more_than_the_machines_and_ones_own_beat_them(changed, books, rules):
    field = books.field
    can = np.isfinite(field.hours)
    worked = [not work.job.snow for work in books.year.works]
    assert np.all(field.hours[:, worked][can[:, worked]] > field.meter[:, worked][can[:, worked]] + 1.0)
    own = changed("year.toml", ("times = 3\n", 'times = 3\nhours = "9 h"\n'))
    year, fleet = read_year(own / "year.toml", rules), read_fleet(own / "candidates.toml", rules)
    machines = tuple(sorted(fleet.machines, key=lambda m: m.name))
    told = ask_field(year, machines, fleet, rules, 20, 0, lambda _done, _of: None)
    assert set(told.hours[:, 1][np.isfinite(told.hours[:, 1])]) == {9.0}


def test_jobs_apart_are_hires_apart_and_a_full_month_is_one(books):
    m = next(i for i, machine in enumerate(books.field.machines) if machine.name == "Wide-track 68")
    jobs = np.zeros((len(books.year.works), 2))
    jobs[0] = 1, 30
    one, many = books._rent(m, jobs, AS_IT_IS)
    deal, hours = books.deal(m), books.field.hours[m, 0]
    assert one == pytest.approx(min(np.ceil(hours / 8) * deal.rent_day, deal.rent_week) + deal.rent_move)
    assert many == pytest.approx(np.ceil(30 * hours / 176) * deal.rent_month + deal.rent_move)


def test_fewer_operators_never_leave_more(changed, rules):
    busy = ("jobs = 70\n", "jobs = 600\n")
    free = bought(changed("year.toml", busy), rules)
    one = bought(changed("year.toml", busy, ('have = ["Wheeled 60"]', 'have = ["Wheeled 60"]\noperators = 1')), rules)
    assert one.options[0].net < free.options[0].net
    assert "operators" in {bar.input for bar in free.tornado}
    assert "operators" not in {bar.input for bar in one.tornado}


def test_pay_beyond_belief_is_asked_about(changed, rules):
    rich = bought(changed("year.toml", ('pays = "$1,700"', 'pays = "$17,000"')), rules)
    assert "buy.pay_high" in keys(rich.assumed)
    assert "Dock Lane" in english(next(said for said in rich.assumed if said.key == "buy.pay_high"))


def test_a_loan_paid_month_by_month_ends_at_nothing():
    """57,800 at 6.9 % over 60 months, month by month: interest on what is owed, the rest off it."""
    payment = float(cost.loan_payment(57_800, 0.069, 60))
    owed = 57_800.0
    for month in range(1, 61):
        owed += owed * 0.069 / 12 - payment
        assert float(cost.loan_balance(57_800, 0.069, 60, month)) == pytest.approx(owed, abs=1e-6)
    assert owed == pytest.approx(0, abs=1e-6)
    assert payment == pytest.approx(1141.78, abs=0.005)
    assert float(cost.loan_payment(12_000, 0.0, 48)) == 250
    assert float(cost.loan_balance(12_000, 0.0, 48, 12)) == 9_000


def test_repairs_rise_with_the_meter_and_come_to_the_same_over_the_life():
    """A C = A h + B h2 with A = (1 - q) R P/L and B = q R P/L2 by hand: P 60,000, R 0.7, L 8,000, q 0.6."""
    flat = float(cost.repair_rate(60_000, 0, 0.7, 8_000))

    def over(start, end):
        return flat * float(cost.repair_share(start, end, 8_000, 0.6)) * (end - start)

    assert over(0, 8_000) == pytest.approx(42_000)
    assert over(0, 4_000) == pytest.approx(2.10 * 4_000 + 0.00039375 * 4_000**2)
    assert over(0, 4_000) + over(4_000, 6_000) == pytest.approx(26_775 - 0.0, rel=1e-9)


def test_a_used_machine_costs_more_repair_an_hour_than_a_new_one(yard, rules):
    year = read_year(yard / "year.toml", rules)
    machine = next(m for m in read_fleet(yard / "candidates.toml", rules).machines if m.name == "Tracked 64")
    used = machine.model_copy(update={"deal": machine.deal.model_copy(update={"meter": 4_000 * 3600.0, "age": 4.0})})
    new, old = (hourly(m, 5.0, 400.0, year, rules).repair for m in (machine, used))
    assert 1.5 * new < old < 4 * new


def test_a_loan_is_told_as_cash_and_with_what_is_owed(changed, rules):
    plain = bought(changed("year.toml"), rules)
    terms = '\n[loan]\ndown = "10 %"\nrate = "6.9 %"\nmonths = 60\n\n[[work]]\njob = "muddy-lot.toml"'
    told = bought(changed("year.toml", ('\n[[work]]\njob = "muddy-lot.toml"', terms)), rules)
    assert [option.net for option in told.options] == [option.net for option in plain.options]
    price = sum(option.machine.deal.price for option in told.chosen if option.how == "own")
    said = values(told.reasons, "loan.terms")
    assert said["down"] == pytest.approx(0.1 * price)
    assert said["payment"] == pytest.approx(float(cost.loan_payment(0.9 * price, 0.069, 60)))
    assert "loan.tax" in keys(told.reasons)
    assert "loan.terms" not in keys(plain.reasons)


def test_it_says_by_when_the_machine_is_needed_and_what_rent_would_be_as_good(usual):
    """Work that is only to be had in some months begins in the first of them."""
    first = [said for said in usual.reasons if said.key.startswith("first.")]
    assert {said.key for said in first} >= {f"first.{option.how}" for option in usual.chosen}
    months = {month for work in usual.year.works for month in work.months}
    for said in first:
        if said.key != "first.used":
            assert int(said.value("month").value) in months
    for said in usual.changes:
        if said.key == "change.rent":
            assert 0 < said.value("at").value < 1


def test_rent_as_it_falls_is_told_beside_rent_used_to_the_full(usual):
    (said,) = usual.rent_or_buy
    own = next(o for o in usual.options if o.name == usual.break_even_of and o.how == "own")
    rented = next(o for o in usual.options if o.name == usual.break_even_of and o.how == "rent")
    assert said.value("own").value == pytest.approx(own.cost, abs=0.5)
    assert said.value("rent").value == pytest.approx(rented.cost, abs=0.5)
