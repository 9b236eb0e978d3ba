"""A place that is remembered: its file, its soil by the survey, its weather; fetched from services played here.

The survey's columns and units are those of its table descriptions (SSURGO metadata 2.3), the grid's those of public
samples of SoilGrids 2.0; all figures are invented, and what they come to was worked out by hand. No live service is
asked.
"""

import datetime as dt
import json
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from itertools import pairwise
from urllib.parse import parse_qs, urlsplit

import numpy as np
import pytest
from typer.testing import CliRunner

from pickrig.checks.ground.site import draw_site
from pickrig.checks.ground.soils import candidates
from pickrig.cli import app
from pickrig.errors import InputError, PickrigError
from pickrig.inputs import read_job
from pickrig.inputs.site import read_position, read_site
from pickrig.inputs.survey import read_soil
from pickrig.plans.pick.answer import pick
from pickrig.rulebook import load_rules
from tests.behaviour.test_downloads import GRID, METRIC
from tests.conftest import english, keys

NAMES = """mukey muname wtdepannmin flodfreqdcd cokey compname compkind comppct_r drainagecl hzdept_r hzdepb_r
sandtotal_r claytotal_r om_r dbthirdbar_r wthirdbar_r wfifteenbar_r wsatiated_r ksat_r unifiedcl"""
HEADER = NAMES.split()
UNIT = ["999001", "Sample-Urban land complex, 1 to 6 percent slopes", "46", "None"]
SAMPLE = [*UNIT, "1", "Sample", "Series", "55", "Somewhat poorly drained"]
ROWS = [
    [*SAMPLE, "0", "20", "40", "28", "3", "1.4", "27.5", "15.1", "47", "9", "CL"],
    [*SAMPLE, "20", "60", "30", "35", "0.8", "1.55", "29.4", "18.6", "42", "2.7", "CL"],
    [*UNIT, "2", "Urban land", "Miscellaneous area", "35", *[None] * 12],
]
SURVEY = {"Table": [HEADER, *ROWS]}
LOT = """title = "Pavers to the back lot"
site = "Miller Road"
[task]
kind = "carry pallets"
load = "2,200 lb"
pieces = 8
"""


def grid_layer(name, factor, mean):
    depths = [
        {"range": {"top_depth": top, "bottom_depth": bottom}, "label": "", "values": {"mean": mean}}
        for top, bottom in ((0, 5), (5, 15), (15, 30))
    ]
    return {"name": name, "unit_measure": {"d_factor": factor}, "depths": depths}


SOIL_GRID = {
    "properties": {
        "layers": [
            grid_layer("clay", 10, 287),
            grid_layer("sand", 10, 310),
            grid_layer("bdod", 100, 142),
            grid_layer("soc", 10, 153),
            grid_layer("wv0033", 10, 312),
        ]
    }
}


@pytest.fixture
def survey(tmp_path):
    def read(data):
        path = tmp_path / "soil.json"
        path.write_text(data if isinstance(data, str) else json.dumps(data), encoding="utf-8")
        return read_soil(path)

    return read


def test_the_survey_becomes_two_layers(survey):
    found = survey(SURVEY)
    sample, urban = found.components
    assert (sample.share, sample.drainage, urban.layers) == (0.55, "somewhat poorly drained", ())
    upper, lower = sample.layers
    assert (upper.clay, upper.density, upper.group) == (0.28, 1400, "CL")
    assert lower.clay == pytest.approx((5 * 0.28 + 10 * 0.35) / 15)
    assert lower.density == pytest.approx(1500)
    assert lower.organic == pytest.approx((5 * 3 + 10 * 0.8) / 1500)
    assert lower.conductivity == pytest.approx(15e-6 / (5 / 9 + 10 / 2.7))  # the tight part rules: 3.52 um/s
    assert lower.conductivity == pytest.approx(3.52e-6, rel=2e-3)
    assert found.made
    assert found.water_table == pytest.approx(0.46)


def test_types_in_a_second_row_and_a_csv_read_the_same(survey):
    typed = {"Table": [HEADER, ["ColumnOrdinal=0,DataTypeName=varchar"] * len(HEADER), *ROWS]}
    lines = [",".join(f'"{cell or ""}"' for cell in row) for row in [HEADER, *ROWS]]
    first = survey(SURVEY).components
    assert survey(typed).components == first
    assert survey("\n".join(lines)).components == first


def test_the_global_grid(survey):
    (one,) = survey(SOIL_GRID).components
    upper = one.layers[0]
    assert (upper.clay, upper.density) == (pytest.approx(0.287), pytest.approx(1420))
    assert upper.organic == pytest.approx(0.0264, abs=1e-4)
    assert upper.capacity == pytest.approx(0.312)


@pytest.mark.parametrize(
    ("data", "fragment"),
    [
        ({}, "maps none at that point"),
        ("Site is under daily maintenance", "maintenance"),
        ({"Table": [HEADER[:5], ROWS[0][:5]]}, "lacks the columns"),
        ({"Table": [HEADER, [*ROWS[0][:-3], "470", "9", "CL"]]}, "which no soil has"),
        ('{"Table": [["mukey"', "cut off"),
        ("date,rain\n", "cut off"),
        ({"properties": {"layers": [grid_layer("clay", 10, None)]}}, "in towns and on water"),
        ({"properties": {"layers": [{"name": "clay"}]}}, "cut off"),
    ],
)
def test_a_survey_that_cannot_be_read_is_told_in_a_sentence(survey, data, fragment):
    with pytest.raises(InputError) as caught:
        survey(data)
    assert fragment in english(caught.value.problems)


@pytest.fixture
def yard_with_site(tmp_path):
    """A folder of jobs with one site, its soil and weather beside it."""
    sites = tmp_path / "sites"
    sites.mkdir()
    (sites / "miller-road.survey.json").write_text(json.dumps(SURVEY), encoding="utf-8")
    (sites / "miller-road.past.csv").write_text(METRIC, encoding="utf-8")
    (sites / "miller-road.toml").write_text(
        'name = "Miller Road"\nposition = "44.05, -92.45"\n[ground]\nsurvey = "miller-road.survey.json"\n'
        '[access]\ngate = "72 in"\n[hazards]\nseptic = "kept off"\n[weather]\npast = "miller-road.past.csv"\n',
        encoding="utf-8",
    )

    def job(more=""):
        (tmp_path / "lot.toml").write_text(LOT + more, encoding="utf-8")
        return read_job(tmp_path / "lot.toml", load_rules())

    return job


def test_a_job_takes_what_its_site_says(yard_with_site):
    job = yard_with_site("[weather]\njob_day = 2026-04-15\n")
    assert job.access.gate == pytest.approx(72 * 0.0254)
    assert job.hazards.septic == "kept off"
    assert job.ground.drainage == "flat"  # by the survey's drainage class
    assert job.weather.days[0].date == dt.date(2026, 4, 10)
    assert job.weather.latitude == pytest.approx(44.05)
    said = english(job.site_notes)
    assert "Miller Road" in said
    assert "access.gate" in said


def test_what_the_job_says_stands(yard_with_site, rules):
    job = yard_with_site('[ground]\nsoil = "CH"\nwetness = "wet"\ndrainage = "ponds"\n[access]\ngate = "9 ft"\n')
    assert job.ground.mapped is None
    assert [one.key for one in candidates(job, rules)] == ["CH"]
    assert job.ground.drainage == "ponds"
    assert job.access.gate == pytest.approx(9 * 0.3048)
    assert job.weather is None


def test_the_surveys_shares_are_weights_and_the_rest_may_be_anything(yard_with_site, rules):
    job = yard_with_site('[ground]\nwetness = "wet"\n')
    soils = candidates(job, rules)
    assert sum(one.weight for one in soils) == pytest.approx(1)
    assert soils[0].surveyed
    assert soils[0].weight == pytest.approx(0.55 * rules.survey["keeps_natural"].value)
    built = yard_with_site('[ground]\nwetness = "wet"\nland = "built on"\n')
    assert candidates(built, rules)[0].weight == pytest.approx(0.55 * rules.survey["keeps_built"].value)
    filled = yard_with_site('[ground]\nwetness = "wet"\nland = "filled"\n')
    assert not any(one.surveyed for one in candidates(filled, rules))
    assert "survey.filled" in keys(draw_site(filled, rules, 500).assumed)


def test_the_surveys_figures_take_the_place_of_ours(yard_with_site, rules):
    one = candidates(yard_with_site('[ground]\nwetness = "wet"\n'), rules)[0]
    assert one.soil.dry_density == pytest.approx(1400)
    assert one.soil.held.capacity == pytest.approx(0.275)
    assert one.lower.dry_density == pytest.approx(1500)
    assert one.below is not None
    built = candidates(yard_with_site('[ground]\nwetness = "wet"\nland = "built on"\n'), rules)[0]
    assert built.soil.dry_density == pytest.approx(1540)
    assert built.soil.held.conductivity == pytest.approx(0.2 * 9e-6)


def test_a_denser_soil_of_the_survey_is_a_stronger_ground(yard_with_site, rules, tmp_path):
    """At the same word for its water, less of it fits in."""
    middles = []
    for density in ("1.2", "1.4", "1.6"):
        data = json.dumps(SURVEY).replace('"1.4"', f'"{density}"')
        (tmp_path / "sites" / "miller-road.survey.json").write_text(data, encoding="utf-8")
        site = draw_site(yard_with_site('[ground]\nwetness = "wet"\n'), rules, 4000)
        middles.append(float(np.median(site.strength)))
    assert all(a < b for a, b in pairwise(middles))


def test_sand_of_the_survey_is_judged_as_sand(yard_with_site, tmp_path, rules):
    sandy = [[*SAMPLE, "0", "60", "95", "2", "0.5", "1.6", "8", "3", "38", "100", "SP"]]
    (tmp_path / "sites" / "miller-road.survey.json").write_text(json.dumps({"Table": [HEADER, *sandy]}))
    job = yard_with_site('[ground]\nwetness = "dry"\n')
    assert job.ground.soil == "SP"
    site = draw_site(job, rules, 500)
    assert site.family == "sand"
    assert "survey.before" in keys(site.assumed)


def test_a_better_gate_or_soil_moves_the_answer_and_says_where_it_comes_from(yard_with_site, yard, rules):
    from pickrig.inputs import read_fleet

    fleet = read_fleet(yard / "fleet.toml", rules)
    answer = pick(yard_with_site("[weather]\njob_day = 2026-04-15\n"), fleet, rules)
    said = english(answer.assumed)
    assert "Sample is 55 % of it" in said
    assert "lean clay (survey)" in english(answer.told).lower()


@pytest.mark.parametrize(
    ("text", "fragment"),
    [
        ('name = "A"\nposition = "up north"\n', "is no position"),
        ('name = "A"\nposition = "144, 10"\n', "is no position"),
        ('name = "A"\n[ground]\nwetness = "wet"\n', "of today only (wetness)"),
        ('name = "A"\n[ground]\ndrainage = "soup"\n', "soup"),
        ('name = "A"\n[weather]\nzone = "Mars/Base"\n', "no time zone"),
        ('name = "A"\n[ground]\nsurvey = "gone.json"\n', "gone.json"),
        ('name = "A"\n[gate]\nwidth = 2\n', "gate"),
    ],
)
def test_a_wrong_site_file_is_told_in_a_sentence(tmp_path, text, fragment):
    (tmp_path / "a.toml").write_text(text, encoding="utf-8")
    with pytest.raises(PickrigError) as caught:
        CliRunner().invoke(app, ["site", "show", str(tmp_path / "a.toml")], catch_exceptions=False)
    assert fragment in english(caught.value.problems)


def test_a_job_whose_site_is_not_there_says_how_to_make_one(tmp_path, rules):
    (tmp_path / "lot.toml").write_text(LOT, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_job(tmp_path / "lot.toml", rules)
    assert "pickrig site new" in english(caught.value.problems)


def test_positions():
    for text in ("44.05, -92.45", "44.05,-92.45", "44.05 -92.45", " 44.05;  -92.45 "):
        assert read_position(text) == (44.05, -92.45)


# ---- the services, played here


class Played(BaseHTTPRequestHandler):
    """Answers by path; `how` says what goes wrong."""

    how = ""
    asked: list = []  # noqa: RUF012  # one list a test, set by the fixture

    def do_GET(self):
        self.asked.append((self.path, dict(self.headers)))
        url = urlsplit(self.path)
        if self.how == "429":
            return self._send(429, "no")
        if self.how == "500":
            return self._send(500, "no")
        if self.how == "html":
            return self._send(200, "<html>hello</html>")
        if self.how == "304" and self.headers.get("If-Modified-Since"):
            return self._send(304, "")
        if self.how == "cut":
            self.send_response(200)
            self.send_header("Content-Length", "5000")
            self.end_headers()
            self.wfile.write(b'{"half')
            return None
        if self.how == "slow":
            threading.Event().wait(1.0)
        if url.path.startswith("/points"):
            return self._send(
                200, json.dumps({"properties": {"forecastGridData": f"http://{self.headers['Host']}/grid"}})
            )
        if url.path == "/grid":
            return self._send(200, json.dumps(GRID))
        if url.path == "/daily":
            assert parse_qs(url.query)["units"] == ["metric"]
            return self._send(200, METRIC)
        return self._send(404, "")

    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"])).decode()
        self.asked.append((body, dict(self.headers)))
        return self._send(500, "no") if self.how == "no soil" else self._send(200, json.dumps(SURVEY))

    def _send(self, status, text):
        self.send_response(status)
        self.send_header("Last-Modified", "Fri, 10 Apr 2026 15:00:00 GMT")
        self.send_header("Content-Length", str(len(text.encode())))
        self.end_headers()
        self.wfile.write(text.encode())

    def log_message(self, *_):
        pass


@pytest.fixture
def played(tmp_path):
    """A server, a rules folder that names it, and a site to be updated."""
    handler = type("Handler", (Played,), {"how": "", "asked": []})
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    base = f"http://127.0.0.1:{server.server_port}"
    folder = tmp_path / "rules"
    folder.mkdir()
    rows = {"us_soil": "soil", "us_forecast": "points", "us_daily": "daily", "norway": "norway"}
    text = "".join(f'[{name}]\nurl = "{base}/{path}"\n' for name, path in rows.items())
    text += "[patience.pause]\nvalue = 0.05\n[patience.answers]\nvalue = 0.5\n"
    (folder / "services.toml").write_text(text, encoding="utf-8")
    (tmp_path / "sites").mkdir()
    site = tmp_path / "sites" / "miller-road.toml"
    site.write_text(
        '# mine\nname = "Miller Road"\nposition = "44.0512345, -92.4512345"\n'
        '[weather]\nzone = "America/Chicago"\nstation = "USW00099902"\n',
        encoding="utf-8",
    )

    def run(how="", *more):
        handler.how = how
        args = ["site", "update", str(site), "--rules", str(folder), *more]
        return CliRunner().invoke(app, args, catch_exceptions=False)

    yield run, handler, site
    server.shutdown()


def test_an_update_brings_soil_past_and_forecast_and_a_job_then_needs_no_network(played, rules):
    run, handler, site = played
    done = run("", "--contact", "yard@example.invalid")
    assert done.exit_code == 0, done.output
    text = site.read_text(encoding="utf-8")
    assert text.startswith("# mine")
    assert 'forecast = "miller-road.forecast.json"' in text
    assert read_site(site)[0].fetched("miller-road.soil.json") is not None
    assert all("yard@example.invalid" in headers["User-Agent"] for _, headers in handler.asked)
    query = json.loads(handler.asked[0][0])
    assert "point(-92.4512 44.0512)" in query["query"]  # longitude first, four decimals
    assert all("Miller" not in str(asked) for asked in handler.asked)
    lot = site.parent.parent / "lot.toml"
    lot.write_text(LOT + "[weather]\njob_day = 2026-04-15\n", encoding="utf-8")
    job = read_job(lot, rules)
    assert "site.fetched_survey" in keys(job.site_notes)
    assert job.ground.mapped is not None


def test_what_is_young_is_not_asked_for_again(played):
    run, handler, _ = played
    run()
    count = len(handler.asked)
    assert "still young" in run().output
    assert len(handler.asked) == count
    run("304", "--again")
    assert any("If-Modified-Since" in headers for _, headers in handler.asked[count:])


@pytest.mark.parametrize(
    ("how", "fragment"),
    [
        ("429", "does not want to answer"),
        ("500", "out of order"),
        ("html", "not read"),
        ("cut", "broke off"),
        ("slow", "too long"),
    ],
)
def test_a_service_that_fails_leaves_the_old_file_and_says_so(played, how, fragment):
    run, handler, site = played
    run()
    kept = {path.name: path.read_bytes() for path in site.parent.iterdir() if path.suffix in (".csv", ".json")}
    del kept["miller-road.fetched.json"]
    done = run(how, "--again")
    assert done.exit_code == 3
    assert fragment in " ".join(done.output.split())
    assert "old file stands" in done.output
    assert {name: (site.parent / name).read_bytes() for name in kept} == kept
    if how == "500":
        assert sum(path.startswith("/daily") for path, _ in handler.asked) == 1 + 3  # asked three times, then left


def test_without_a_network_it_says_so(played, tmp_path):
    run, _, site = played
    (tmp_path / "rules" / "services.toml").write_text(
        '[us_soil]\nurl = "http://127.0.0.1:1/"\n[us_forecast]\nurl = "http://127.0.0.1:1/"\n'
        '[us_daily]\nurl = "http://127.0.0.1:1/"\n[patience.pause]\nvalue = 0.05\n',
        encoding="utf-8",
    )
    done = run()
    assert done.exit_code == 3
    assert "is there a network?" in done.output
    assert "forecast" not in site.read_text(encoding="utf-8")


def test_a_new_site_asks_one_question_and_writes_over_nothing(tmp_path):
    soil = tmp_path / "download.json"
    soil.write_text(json.dumps(SURVEY), encoding="utf-8")
    args = ["site", "new", "Miller Road", "--at", "44.05,-92.45", "--in", str(tmp_path), "--soil", str(soil)]
    done = CliRunner().invoke(app, args, input="flat\n", catch_exceptions=False)
    assert done.exit_code == 0
    site, _ = read_site(tmp_path / "sites" / "miller-road.toml")
    assert site.ground.drainage == "flat"
    assert site.ground.survey == "miller-road.survey.json"
    assert "55 % Sample: lean clay" in done.output
    with pytest.raises(PickrigError) as caught:
        CliRunner().invoke(app, args, input="flat\n", catch_exceptions=False)
    assert "is there already" in english(caught.value.problems)


def test_rain_that_may_come_splits_the_answer(tmp_path, yard, rules):
    from pickrig.inputs import read_fleet

    (tmp_path / "grid.json").write_text(json.dumps(GRID), encoding="utf-8")
    ground = '[ground]\nsoil = "CL"\ndrainage = "flat"\n'
    weather = '[weather]\njob_day = 2026-04-11\ntoday = 2026-04-10\nforecast = "grid.json"\nzone = "America/Chicago"\n'
    (tmp_path / "lot.toml").write_text(LOT.replace('site = "Miller Road"\n', "") + ground + weather, encoding="utf-8")
    answer = pick(read_job(tmp_path / "lot.toml", rules), read_fleet(yard / "fleet.toml", rules), rules)
    told = answer.if_rain[0]
    assert told.key == "rain.either"
    look = answer.if_rain[-1]
    chances = {"rain": look.value("rain").value} | {name: told.value(name).value for name in ("dry", "wet")}
    now = answer.pick.finding("floats").chance
    assert chances["wet"] < now < chances["dry"]
    expected = chances["rain"] * chances["wet"] + (1 - chances["rain"]) * chances["dry"]
    assert now == pytest.approx(expected, abs=0.02)
    assert look.value("date") == dt.date(2026, 4, 10)


def mapped(rows):
    """A survey of these: name, share, group, sand, clay, organic matter."""
    told = [
        [*UNIT, str(n), name, "Series", share, "Well drained", "0", "60", sand, clay, organic, *[None] * 5, group]
        for n, (name, share, group, sand, clay, organic) in enumerate(rows)
    ]
    return {"Table": [[name.upper() for name in HEADER], *told]}


def job_on(yard_with_site, tmp_path, rows):
    (tmp_path / "sites" / "miller-road.survey.json").write_text(json.dumps(mapped(rows)), encoding="utf-8")
    return yard_with_site('[ground]\nwetness = "wet"\n')


def test_muck_without_a_texture_is_muck(yard_with_site, tmp_path):
    assert job_on(yard_with_site, tmp_path, [("Muck", "90", "PT", None, None, "70")]).ground.soil == "PT"


def test_the_larger_part_decides_how_the_ground_is_judged(yard_with_site, tmp_path, rules):
    two = [("Clay", "35", "CL", "20", "30", "2"), ("Other", "25", "CH", "10", "50", "2")]
    job = job_on(yard_with_site, tmp_path, [("Gravelly", "40", "GM", "40", "10", "1"), *two])
    assert job.ground.soil is None
    assert "survey.other" in keys(draw_site(job, rules, 300).assumed)
    job = job_on(yard_with_site, tmp_path, [("Gravelly", "70", "GM", "40", "10", "1"), *two[:1]])
    assert job.ground.soil == "GM"
    assert "survey.whole" in keys(draw_site(job, rules, 300).assumed)


def test_humus_past_what_the_hydraulics_know_makes_no_cliff(yard_with_site, tmp_path, rules):
    middles = [
        float(
            np.median(
                draw_site(job_on(yard_with_site, tmp_path, [("A", "90", "OH", "20", "40", om)]), rules, 2000).strength
            )
        )
        for om in ("19", "21")
    ]
    assert middles[1] == pytest.approx(middles[0], rel=0.05)


@pytest.mark.parametrize("share", ["-50", "7000", "nan"])
def test_a_share_that_is_none_is_told(survey, share):
    with pytest.raises(InputError) as caught:
        survey(mapped([("A", share, "CL", "20", "30", "2")]))
    assert "comppct_r" in english(caught.value.problems)


def test_what_a_job_says_of_its_weather_beats_the_site_key_by_key(yard_with_site, tmp_path):
    (tmp_path / "own.json").write_text(json.dumps(GRID), encoding="utf-8")
    text = (tmp_path / "sites" / "miller-road.toml").read_text(encoding="utf-8") + 'zone = "America/Chicago"\n'
    (tmp_path / "sites" / "miller-road.toml").write_text(text, encoding="utf-8")
    weather = yard_with_site('[weather]\njob_day = 2026-04-16\nforecast = "own.json"\n').weather
    assert weather.days[0].date == dt.date(2026, 4, 10)  # of the site's past
    assert weather.zone == "America/Chicago"
    listed = yard_with_site('[weather]\njob_day = 2026-01-16\n[[weather.days]]\ndate = 2026-01-15\nrain = "0 in"\n')
    assert listed.weather.latitude == pytest.approx(44.05)


def test_another_position_is_fetched_anew_however_young_the_old_one_is(played):
    run, handler, site = played
    run()
    count = len(handler.asked)
    site.write_text(site.read_text(encoding="utf-8").replace("44.0512345", "31.2"), encoding="utf-8")
    assert "still young" not in run().output
    assert len(handler.asked) > count


def test_a_site_that_cannot_be_read_leaves_nothing_behind(tmp_path):
    bad = tmp_path / "bad.json"
    bad.write_text("{", encoding="utf-8")
    args = ["site", "new", "Bad", "--in", str(tmp_path), "--soil", str(bad), "--drainage", "flat"]
    with pytest.raises(PickrigError):
        CliRunner().invoke(app, args, catch_exceptions=False)
    assert list((tmp_path / "sites").iterdir()) == []
    assert bad.exists()


def test_rain_on_several_days_is_told_as_some_of_it_coming(yard, rules):
    """Eight days at one in five: with some rain, not with all of it, and the two make up the whole."""
    import pickrig
    from pickrig.inputs import read_fleet

    days = [{"date": dt.date(2026, 4, 12) + dt.timedelta(n), "rain": "0.8 in", "chance": "20 %"} for n in range(8)]
    before = [{"date": dt.date(2026, 4, n), "rain": "0 in"} for n in range(1, 12)]
    job = pickrig.Job.of(
        task={"kind": "carry pallets", "load": "1,500 lb"},
        ground={"soil": "CL", "drainage": "ordinary"},
        weather={"job_day": dt.date(2026, 4, 19), "today": dt.date(2026, 4, 11), "days": [*before, *days]},
    )
    answer = pick(job, read_fleet(yard / "fleet.toml", rules), rules)
    told, look = answer.if_rain[0], answer.if_rain[-1]
    dry, wet, rain = told.value("dry").value, told.value("wet").value, look.value("rain").value
    assert rain == pytest.approx(1 - 0.8**8, abs=0.02)
    assert rain * wet + (1 - rain) * dry == pytest.approx(answer.pick.finding("floats").chance, abs=0.03)
    assert wet < dry
