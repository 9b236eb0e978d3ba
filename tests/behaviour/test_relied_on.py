"""What a user relies on: a printed number follows from its finding, an option changes what it should and nothing else,
and what stands under a line adds up to it."""

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pickrig.cli import app
from pickrig.inputs import read_fleet, read_job
from pickrig.inputs.board import read_board
from pickrig.inputs.year import read_year
from pickrig.plans.buy.answer import buy
from pickrig.plans.day.answer import day
from pickrig.plans.pick.answer import pick
from pickrig.report.buy.json import as_buy_dict
from pickrig.report.day.json import as_board_csv
from pickrig.report.pick.json import as_dict
from pickrig.report.pick.page import as_page
from pickrig.report.pick.terminal import as_why
from pickrig.report.words.voice import Voice
from tests.conftest import english
from tests.properties.strategies import RULES
from tests.records import cases
from tests.records.draw import write

EXAMPLES = Path(__file__).parents[2] / "examples"
SOME = [name for name in cases.drawn() if name.startswith("job")][::14]
DAYS = [name for name in cases.drawn() if name.startswith("day")][::4]
YEARS = [name for name in cases.drawn() if name.startswith("year")][::4]
# SI to the units a reader sees, written down from the units' definitions: pound, inch, lbf, psi, horsepower.
POUND, INCH = 0.45359237, 0.0254


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    """A drawn job's answer, and its fleet."""
    told = {}

    def answer(name):
        if name not in told:
            files = write(cases.drawn()[name], tmp_path_factory.mktemp("case"))
            job, fleet = read_job(files["job0.toml"], RULES), read_fleet(files["fleet.toml"], RULES)
            told[name] = pick(job, fleet, RULES, draws=300)
        return told[name]

    return answer


def numbers(text):
    return [float(n.replace(",", "")) for n in re.findall(r"(?<![\w.])-?\d[\d,]*(?:\.\d+)?", text)]


# --- numbers follow from findings


@pytest.mark.parametrize("name", SOME)
def test_the_table_prints_each_findings_own_number(answers, name):
    answer = answers(name)
    text = re.sub(r"\s+", " ", as_why(answer).split("Every machine")[1])
    for standing in answer.ranking:
        head = f"{standing.name} {standing.score:.1f}" if standing.usable else f"{standing.name} out"
        assert head in text
        own = text.split(head)[1].split("wear")[0]
        for finding in standing.findings:
            word = {"go": "go", "caution": "watch", "no-go": "no", "unknown": "ask"}[finding.verdict]
            cell = f"{RULES.questions[finding.check].short} {word}"
            told = re.search(rf"{cell}((?: (?:[^,]|,(?=\d))+)?)", f"{own} wear {text}")
            assert told, finding.check
            shown = numbers(told[1])
            if finding.unit == "share" and shown and finding.check != "wears":
                share = min(100 * finding.value, 1000)  # beyond tenfold the table says only that
                assert shown[0] == pytest.approx(share, abs=max(0.51, 0.006 * share))


@pytest.mark.parametrize("name", SOME)
def test_a_chance_in_words_is_the_findings_chance(answers, name):
    for standing in answers(name).ranking:
        for finding in standing.findings:
            if finding.chance is None:
                continue
            assert 0 <= finding.chance <= 1
            for said in re.findall(r"(\d+) times? in 20", english(finding.says[:1])):
                assert abs(float(said) - 20 * finding.chance) <= 1


@pytest.mark.parametrize("name", SOME)
def test_what_a_machine_may_carry_is_said_as_it_is_reckoned(answers, name):
    answer = answers(name)
    facts = cases.recorded()[name]["loads"]
    for said in answer.today:
        if said.key in ("limit.load", "limit.load_slope"):
            assert numbers(english(said))[0] == pytest.approx(facts[answer.pick.name][4] / POUND, abs=0.51)
    for standing in answer.ranking:
        lifts = next((f for f in standing.findings if f.check == "lifts"), None)
        lead = lifts.says[0] if lifts is not None and lifts.value is not None else None
        if lead is None or "safe" not in dict(lead.values):
            continue
        assert lead.value("safe").value == pytest.approx(facts[standing.name][4])
        assert f"{facts[standing.name][4] / POUND:,.0f} lb" in english(lead)


@pytest.mark.parametrize("name", SOME)
def test_a_go_has_room_to_spare(answers, name):
    for standing in answers(name).ranking:
        for f in standing.findings:
            if f.check in ("hauls", "lifts", "powers") and f.verdict == "go" and f.margin is not None:
                assert f.margin >= 1, f.check


@pytest.mark.parametrize("name", SOME)
def test_scores_are_their_parts_and_leads_the_gap(answers, name):
    answer = answers(name)
    assert sum(answer.weights.values()) == pytest.approx(1)
    for standing in answer.ranking:
        assert sum(standing.parts) == pytest.approx(standing.score)
        assert all(
            0 <= part <= 100 * weight + 1e-9
            for part, weight in zip(standing.parts, answer.weights.values(), strict=True)
        )
    for rival, leads in answer.why_over.items():
        other = next(s for s in answer.ranking if s.name == rival)
        assert sum(lead.points for lead in leads) == pytest.approx(answer.pick.score - other.score, abs=1e-9)
        assert round(sum(lead.shown for lead in leads), 1) == pytest.approx(
            round(answer.pick.score - other.score, 1), abs=0.051
        )
    usable = [s.score for s in answer.ranking if s.usable]
    assert usable == sorted(usable, reverse=True)


@pytest.mark.parametrize("name", SOME)
def test_a_bill_adds_up_as_it_is_printed(answers, name):
    answer = answers(name)
    assert [c.total for c in answer.costs] == sorted(c.total for c in answer.costs)
    assert {c.machine for c in answer.costs} == {s.name for s in answer.ranking if s.usable}
    text = re.sub(r"\s+", " ", as_why(answer))
    for c in answer.costs:
        assert c.total == pytest.approx(c.work + c.rubber + c.bogging + c.repair)
        dollars = r"(?:under )?\$([\d,.]+)"
        time = r"(?:([\d,]+) h)? ?(?:(\d+) min)?"
        own = rf"{dollars} for {time}, {dollars} of tracks and tires, {dollars} set aside for bogging, "
        own += rf"{dollars} for marks"
        line = re.search(rf"{c.machine}: about {dollars}: {own}", text)
        assert line, c.machine
        total, work, hours, minutes, *rest = (float((part or "0").replace(",", "")) for part in line.groups())
        parts = [work, *rest]
        assert sum(parts) == pytest.approx(total, abs=3)
        assert hours + minutes / 60 == pytest.approx(c.hours, abs=0.051)
        standing = next(s for s in answer.ranking if s.name == c.machine)
        wears = standing.finding("wears").value or 0.0
        assert c.rubber == pytest.approx(c.hours * wears)


@pytest.mark.parametrize("name", SOME)
def test_a_page_prints_what_the_terminal_prints(answers, name):
    answer = answers(name)
    page = as_page(answer)
    for standing in answer.ranking:
        if standing.usable:
            assert f"{standing.score:.1f}" in page


# --- JSON: the same in the reader's units


@pytest.mark.parametrize("name", SOME)
def test_units_change_how_numbers_read_and_nothing_else(answers, name):
    us, metric = (as_dict(answers(name), Voice(units=units)) for units in ("us", "metric"))
    assert us["pick"] == metric["pick"]
    assert us["weights"] == metric["weights"]
    for a, b in zip(us["ranking"], metric["ranking"], strict=True):
        assert (a["machine"], a["score"], a["usable"]) == (b["machine"], b["score"], b["usable"])
        for f, g in zip(a["findings"], b["findings"], strict=True):
            assert (f["verdict"], f["margin"], f["chance"]) == (g["verdict"], g["margin"], g["chance"])
            if f["value"] and f["unit"] != g["unit"]:
                size = {("in", "mm"): 25.4, ("in", "m"): INCH}[f["unit"], g["unit"]]
                assert g["value"] == pytest.approx(f["value"] * size, rel=1e-6)
    assert us["costs"] == metric["costs"]
    assert [f["then_pick"] for f in us["flips"]] == [f["then_pick"] for f in metric["flips"]]


# --- options


@pytest.fixture
def told(tmp_path, monkeypatch):
    """What a command writes, by the name of the file, and what it says."""
    monkeypatch.chdir(tmp_path)

    def run(*arguments):
        for path in tmp_path.glob("*"):
            if path.is_file() and path.suffix != ".toml":
                path.unlink()
        result = CliRunner().invoke(app, [*arguments, "-o", "page.html", "--json", "record.json"])
        assert result.exit_code in (0, 3), result.output
        written = {path.name: path.read_text(encoding="utf-8") for path in tmp_path.glob("*.*") if path.is_file()}
        return written | {"said": result.stdout.split("The whole page")[0]}

    return run


def facts_of(told):
    """What a record holds but its sentences."""

    def bare(node):
        if isinstance(node, dict):
            return {key: bare(value) for key, value in node.items() if key not in ("label", "tag")}
        if isinstance(node, list):
            return [bare(value) for value in node if not isinstance(value, str)]
        return None if isinstance(node, str) and " " in node else node

    return bare(json.loads(told["record.json"]))


PICK = ["pick", str(EXAMPLES / "twenty-percent.toml"), "--fleet", str(EXAMPLES / "fleet.toml")]


def test_an_option_of_pick_changes_what_it_should_and_nothing_else(told):
    plain = told(*PICK)
    sheet = told(*PICK, "--sheet", "sheet.html")
    assert {key: text for key, text in sheet.items() if key != "sheet.html"} == plain
    spanish = told(*PICK, "--language", "es", "--sheet", "sheet.html")
    assert facts_of(spanish) == facts_of(plain)
    assert "Mándela" in spanish["said"]
    assert '<html lang="es">' in spanish["page.html"]
    assert '<html lang="es">' in spanish["sheet.html"]
    metric = told(*PICK, "--units", "metric")
    assert " lb" not in metric["said"]
    assert " mm" in metric["said"]
    seeded = json.loads(told(*PICK, "--seed", "5")["record.json"])
    usual = json.loads(plain["record.json"])
    assert (seeded["inputs"]["seed"], usual["inputs"]["seed"]) == (5, 0)
    chances = [[r["findings"][0]["chance"] for r in record["ranking"]] for record in (usual, seeded)]
    assert chances[0] != chances[1]
    assert chances[0] == pytest.approx(chances[1], abs=0.05)


def test_rules_of_ones_own_change_their_own_verdicts(told, tmp_path):
    own = tmp_path / "own"
    own.mkdir()
    (own / "limits.toml").write_text("[fits]\ngo_m = 1.9\n", encoding="utf-8")
    usual, mine = (json.loads(told(*PICK, *more)["record.json"]) for more in ([], ["--rules", str(own)]))
    for record in (usual, mine):
        record["by"] = {r["machine"]: {f["check"]: f["verdict"] for f in r["findings"]} for r in record["ranking"]}
    changed = {
        check
        for machine, checks in usual["by"].items()
        for check, verdict in checks.items()
        if mine["by"][machine][check] != verdict
    }
    assert changed == {"fits"}
    (own / "limits.toml").write_text("[lifts]\ncomfort = 0.1\n", encoding="utf-8")
    mine = json.loads(told(*PICK, "--rules", str(own))["record.json"])
    lifts = [f["verdict"] for r in mine["ranking"] for f in r["findings"] if f["check"] == "lifts"]
    assert "go" not in lifts


def test_an_option_of_day_changes_what_it_should_and_nothing_else(told):
    command = ["day", str(EXAMPLES / "tuesday.toml"), "--fleet", str(EXAMPLES / "fleet.toml")]
    plain = told(*command)
    more = told(*command, "--csv", "board.csv", "--calendar", "board.ics", "--sheets", "sheets")
    assert {key: text for key, text in more.items() if not key.startswith("board.")} == plain
    record = json.loads(plain["record.json"])
    rows = sum(len(record[rows]) for rows in ("lines", "left", "drives"))
    assert more["board.csv"].count("\n") == 1 + rows
    spanish = told(*command, "--language", "es", "--sheets", "sheets")
    assert facts_of(spanish) == facts_of(plain)
    assert '<html lang="es">' in spanish["page.html"]
    assert '<html lang="es">' in Path("sheets/01.html").read_text(encoding="utf-8")
    metric = json.loads(told(*command, "--units", "metric")["record.json"])
    rows = [
        [(line["job"], line["machine"], line["start"]) for line in r["lines"]]
        for r in (json.loads(plain["record.json"]), metric)
    ]
    assert rows[0] == rows[1]
    seeded = json.loads(told(*command, "--seed", "9")["record.json"])
    assert seeded["inputs"]["seed"] == 9
    assert [line["chance"] for line in seeded["lines"]] != [line["chance"] for line in metric["lines"]]


# --- boards and years add up


@pytest.fixture(scope="module")
def plans(tmp_path_factory):
    told = {}

    def plan(name):
        if name not in told:
            files = write(cases.drawn()[name], tmp_path_factory.mktemp("case"))
            fleet = read_fleet(files["fleet.toml"], RULES)
            if name.startswith("day"):
                told[name] = day(read_board(files["day.toml"], RULES), fleet, RULES)
            else:
                told[name] = buy(read_year(files["year.toml"], RULES), fleet, RULES, draws=20)
        return told[name]

    return plan


@pytest.mark.parametrize("name", DAYS)
def test_a_board_adds_up_and_keeps_its_hours(plans, name):
    plan = plans(name)
    done = [line.call.name for line in plan.lines] + [one.call.name for one in plan.left]
    assert sorted(done) == sorted(call.name for call in plan.board.calls)
    for line in plan.lines:
        assert line.start <= line.arrive <= line.end <= (line.back or line.end)
        assert line.date in line.call.days
        assert line.machine not in plan.board.out
        if plan.by_money:
            road = 0.0 if not line.truck else (4.0 if plan.board.rigs == "shuttle" and not line.there else 2.0)
            paid = (line.call.pays or 0.0) - line.bill.total - road * line.call.move / 3600 * plan.board.move_hour
            assert line.margin == pytest.approx(paid)
        if line.call.keep:
            assert line.machine == line.call.keep
    for one, other in ((a, b) for a in plan.lines for b in plan.lines if a is not b and a.machine == b.machine):
        assert one.end <= other.start or other.end <= one.start or one.date != other.date
    rows = as_board_csv(plan).splitlines()
    assert len(rows) == 1 + len(plan.lines) + len(plan.left) + len(plan.runs)


@pytest.mark.parametrize("name", YEARS)
def test_an_options_net_is_what_it_adds_less_what_it_costs(plans, name):
    record = as_buy_dict(plans(name))
    for option in record["options"]:
        assert option["net"] == pytest.approx(option["gain"] - option["cost"])
        assert option["net"] == pytest.approx(sum(option["net_by_year"]) / len(option["net_by_year"]))
    nets = [option["net"] for option in record["options"]]
    assert nets == sorted(nets, reverse=True)
    for works in record["workable_days"].values():
        for days in works.values():
            assert 0 <= days["worst"] <= days["middle"] + 1e-9 <= days["best"] + 2e-9 <= days["of"] + 3e-9
    if record["best"]:
        assert record["best"] == {key: record["options"][0][key] for key in ("machine", "how")}
        assert record["options"][0]["net"] > 0
