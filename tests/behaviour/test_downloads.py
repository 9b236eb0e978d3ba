# ruff: noqa: E501  (layouts as they come are wider than ours)
"""Weather files as people download them, written by hand after the documentation of each service.

Daily archives: readme of GHCN-Daily (Menne et al. 2012, doi 10.7289/V5D21VHZ). Reference network: readme of daily01.
Open service: its documentation and server code. Gridpoint and locationforecast: public samples. All figures are
invented; what they come to was worked out by hand. No live service was asked.
"""

import contextlib
import datetime as dt
import json
from random import Random

import pytest

from pickrig.errors import InputError
from pickrig.inputs import read_job
from pickrig.inputs.survey import read_soil
from pickrig.inputs.weather.recognise import read_weather
from pickrig.inputs.weather.written import Written
from tests.conftest import english, keys

WIDE = """"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","DAPR","DAPR_ATTRIBUTES","MDPR","MDPR_ATTRIBUTES",\
"PRCP","PRCP_ATTRIBUTES","SNOW","SNOW_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"
"USC00999901","2026-04-10","44.1","-93.2","300.0","SAMPLE 1 N, MN US",,,,,"    0",",,7,0700","    0",",,7","  156",",,7","   33",",,7"
"USC00999901","2026-04-11","44.1","-93.2","300.0","SAMPLE 1 N, MN US",,,,,"   51",",,7,0700","    0",",,7","  111",",,7","   44",",,7"
"USC00999901","2026-04-12","44.1","-93.2","300.0","SAMPLE 1 N, MN US",,,,,"    0","T,,7,0700",,,"   89",",,7","   11",",,7"
"USC00999901","2026-04-13","44.1","-93.2","300.0","SAMPLE 1 N, MN US",,,,,"  762",",X,7,0700",,,"   94",",,7","  -17",",,7"
"USC00999901","2026-04-14","44.1","-93.2","300.0","SAMPLE 1 N, MN US",,,,,,,,,"  117",",,7","    0",",,7"
"USC00999901","2026-04-15","44.1","-93.2","300.0","SAMPLE 1 N, MN US","    2",",,7","  183",",,7,0700",,,,,"  133",",,7","   28",",,7"
"USC00999901","2026-04-16","44.1","-93.2","300.0","SAMPLE 1 N, MN US",,,,,"   13",",,7,0700","   25",",,7","   22",",,7","  -28",",,7"
"""
LONG = """USC00999901,20260410,PRCP,0,,,7,0700
USC00999901,20260410,TMAX,156,,,7,0700
USC00999901,20260410,TMIN,33,,,7,0700
USC00999901,20260411,PRCP,51,,,7,0700
USC00999901,20260412,PRCP,0,T,,7,0700
USC00999901,20260412,TMAX,89,,I,7,0700
USC00999901,20260413,PRCP,762,,X,7,0700
USC00999901,20260413,SNOW,25,,,7,
"""
STANDARD = """"STATION","NAME","DATE","PRCP","SNOW","TMAX","TMIN"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-10","0.00","0.0","60","38"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-11","0.20","0.0","52","40"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-13",,"0.0","49","29"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-14","0.72","0.0","53","32"
"""
METRIC = """"STATION","NAME","DATE","PRCP","SNOW","TMAX","TMIN"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-10","0.0","0","15.6","3.3"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-11","5.1","0","11.1","4.4"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-13",,"0","9.4","-1.7"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-14","18.3","0","11.7","0.0"
"""
STORED = """"STATION","NAME","DATE","PRCP","TMAX","TMIN"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-10","0","156","33"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-11","51","111","44"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-13",,"94","-17"
"USW00099902","SAMPLE AIRPORT, MN US","2026-04-14","183","117","0"
"""
REFERENCE = "\n".join(
    f"99903 202604{day}  2.623  -93.20   44.10 {tmax:>7} {tmin:>7}     9.4     9.4 {rain:>7}    12.34 C    20.0     0.0"
    "     9.0    95.0    40.0    70.0   0.211   0.240 -99.000 -99.000 -99.000     7.1     7.1 -9999.0 -9999.0 -9999.0"
    for day, tmax, tmin, rain in [
        (10, "15.6", "3.3", "0.0"),
        (11, "11.1", "4.4", "5.1"),
        (13, "9.4", "-1.7", "-9999.0"),
        (14, "-9999.0", "-9999.0", "18.3"),
    ]
)
PLACE = "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation\n44.10,-93.20,300.0,"
DAILY = f"""{PLACE}-18000,America/Chicago,GMT-5

time,temperature_2m_max (°C),temperature_2m_min (°C),precipitation_sum (mm),snowfall_sum (cm)
2026-04-10,15.6,3.3,0.00,0.00
2026-04-11,11.1,4.4,5.10,0.00
2026-04-12,8.9,1.1,NaN,NaN
2026-04-13,9.4,-1.7,18.30,0.70
"""
HOURLY = f"""{PLACE}0,GMT,GMT

time,temperature_2m (°F),precipitation (inch)
2026-04-11T04:00,50.0,0.100
2026-04-11T05:00,49.1,0.050
2026-04-11T06:00,48.2,0.020
2026-04-11T07:00,47.3,0.000
"""
GRID = {
    "geometry": {"type": "Polygon", "coordinates": []},
    "properties": {
        "maxTemperature": {
            "uom": "wmoUnit:degC",
            "values": [
                {"validTime": "2026-04-10T12:00:00+00:00/PT13H", "value": 15.6},
                {"validTime": "2026-04-11T12:00:00+00:00/PT13H", "value": 11.1},
            ],
        },
        "minTemperature": {
            "uom": "wmoUnit:degC",
            "values": [{"validTime": "2026-04-11T00:00:00+00:00/PT14H", "value": 4.4}],
        },
        "probabilityOfPrecipitation": {
            "uom": "wmoUnit:percent",
            "values": [
                {"validTime": "2026-04-11T05:00:00+00:00/PT12H", "value": 80},
                {"validTime": "2026-04-11T17:00:00+00:00/P1D", "value": None},
            ],
        },
        "quantitativePrecipitation": {
            "uom": "wmoUnit:mm",
            "values": [
                {"validTime": "2026-04-10T18:00:00+00:00/PT6H", "value": 0},
                {"validTime": "2026-04-11T00:00:00+00:00/PT6H", "value": 3.0},
                {"validTime": "2026-04-11T06:00:00+00:00/PT6H", "value": 9.0},
                {"validTime": "2026-04-11T12:00:00+00:00/P1D", "value": 2.4},
            ],
        },
    },
}


def step(hour, one=None, six=None):
    data = {"instant": {"details": {"air_temperature": 9.0}}}
    data |= {} if one is None else {"next_1_hours": {"details": {"precipitation_amount": one}}}
    data |= {} if six is None else {"next_6_hours": {"details": {"precipitation_amount": six}}}
    return {"time": f"2026-04-11T{hour:02d}:00:00Z", "data": data}


NORWAY = {
    "type": "Feature",
    "geometry": {"type": "Point", "coordinates": [-93.2, 44.1, 300]},
    "properties": {
        "meta": {"units": {"air_temperature": "celsius", "precipitation_amount": "mm"}},
        "timeseries": [step(3, 0.6, 4.0), step(4, 1.2, 3.6), step(5, None, 2.4), step(11, None, 0.0), step(17)],
    },
}
CHICAGO = {"zone": "America/Chicago"}


@pytest.fixture
def days(tmp_path, rules):
    def read(text, **written):
        path = tmp_path / "as-it-came"
        path.write_text(text if isinstance(text, str) else json.dumps(text), encoding="utf-8")
        return read_weather(path, Written(**written), "US", rules)

    return read


def rains(table):
    """mm, by day of the month."""
    return {row.date.day: None if row.rain is None else round(1e3 * row.rain, 3) for row in table.rows}


def heats(table):
    return {row.date.day: (row.tmin, row.tmax) for row in table.rows}


def test_a_wide_archive(days):
    table = days(WIDE)
    assert rains(table) == {10: 0.0, 11: 5.1, 12: 0.0, 13: None, 14: 9.15, 15: 9.15, 16: 1.3}
    assert sum(row.rain or 0 for row in table.rows) == pytest.approx(24.7e-3)
    assert [row.tmax for row in table.rows] == [15.6, 11.1, 8.9, 9.4, 11.7, 13.3, 2.2]
    assert [row.tmin for row in table.rows] == [3.3, 4.4, 1.1, -1.7, 0.0, 2.8, -2.8]
    assert keys(table.notes) == ["weather.wettest", "weather.flagged", "weather.shared"]
    assert table.place == (44.1, -93.2)


def test_a_long_archive_with_a_header_and_without(days):
    header = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n"
    for text in (LONG, header + LONG):
        table = days(text)
        assert rains(table) == {10: 0.0, 11: 5.1, 12: 0.0, 13: None}
        assert heats(table)[10] == (3.3, 15.6)
        assert heats(table)[12] == (None, None)


def test_an_archive_as_ordered_tells_its_units(days):
    standard, metric, stored = days(STANDARD), days(METRIC), days(STORED)
    assert rains(metric) == rains(stored) == {10: 0.0, 11: 5.1, 13: None, 14: 18.3}
    assert rains(standard) == {10: 0.0, 11: 5.08, 13: None, 14: 18.288}
    assert heats(metric) == heats(stored)
    for day, (low, high) in heats(standard).items():
        assert low == pytest.approx(heats(metric)[day][0], abs=0.3)
        assert high == pytest.approx(heats(metric)[day][1], abs=0.3)


def rain_alone(values):
    lines = ['"STATION","NAME","DATE","PRCP"']
    lines += [
        f'"USW00099902","SAMPLE, MN US","{dt.date(2026, 1, 1) + dt.timedelta(n)}","{v}"' for n, v in enumerate(values)
    ]
    return "\n".join(lines)


def test_rain_alone_in_whole_numbers_is_asked_for(days):
    with pytest.raises(InputError) as caught:
        days(rain_alone([0, 51, 0, 183]))
    assert "51 may be 5.1 mm or 51 mm" in english(caught.value.problems)
    assert rains(days(rain_alone([0, 51]), rain_unit="tenths of mm"))[2] == 5.1
    assert rains(days(rain_alone([0, 51]), rain_unit="mm"))[2] == 51.0


def test_tenths_taken_for_millimetres_are_refused_by_a_years_sum(days):
    wet = [0, 0, 80] * 40  # 9.7 m a year as mm, 0.97 m as tenths
    with pytest.raises(InputError) as caught:
        days(rain_alone(wet), rain_unit="mm")
    assert "tenths of a millimeter" in english(caught.value.problems)
    assert days(rain_alone(wet), rain_unit="tenths of mm").rows


def test_what_the_layout_says_is_not_overruled(days):
    with pytest.raises(InputError) as caught:
        days(WIDE, rain_unit="mm")
    assert "leave the unit out" in english(caught.value.problems)


def test_units_that_do_not_go_together_are_told(days):
    with pytest.raises(InputError) as caught:
        days(STANDARD.replace('"60"', '"15.6"').replace('"52"', '"11.1"'))
    assert "do not go together" in english(caught.value.problems)


def test_several_stations_are_asked_for(days):
    two = STANDARD + STANDARD.replace("USW00099902", "USW00099903").split("\n", 1)[1].replace("0.20", "0.50")
    with pytest.raises(InputError) as caught:
        days(two)
    assert "USW00099902, USW00099903" in english(caught.value.problems).replace(" and ", ", ")
    assert rains(days(two, station="USW00099903"))[11] == 12.7
    with pytest.raises(InputError):
        days(two, station="USW00000000")


def test_the_reference_network(days):
    table = days(REFERENCE)
    assert rains(table) == {10: 0.0, 11: 5.1, 13: None, 14: 18.3}
    assert heats(table)[14] == (None, None)
    assert table.place == (44.1, -93.2)


def test_the_open_service_by_the_day(days):
    assert rains(days(DAILY)) == {10: 0.0, 11: 5.1, 12: None, 13: 18.3}
    assert heats(days(DAILY))[13] == (-1.7, 9.4)
    daily = {"time": ["2026-04-10", "2026-04-11", "2026-04-12"], "precipitation_sum": [0.0, 5.1, None]}
    data = {
        "latitude": 44.1,
        "longitude": -93.2,
        "utc_offset_seconds": -18000,
        "daily_units": {"time": "iso8601", "precipitation_sum": "mm"},
        "daily": daily,
    }
    assert rains(days(data)) == {10: 0.0, 11: 5.1, 12: None}


def test_hours_are_summed_to_the_days_of_the_place(days):
    """An hour's rain fell before its stamp: at UTC-5 the first two belong to the 10th."""
    table = days(HOURLY, **CHICAGO)
    assert rains(table) == {10: round(0.15 * 25.4, 3), 11: round(0.02 * 25.4, 3)}
    assert rains(days(HOURLY, zone="UTC-5")) == rains(table)
    assert "weather.sun_time" in keys(days(HOURLY).notes)  # the sun's own hour, which is not the clock's
    assert sum(row.rain for row in days(HOURLY).rows) == pytest.approx(0.17 * 0.0254)


def test_an_ensemble_is_a_chance_and_an_amount(days):
    text = f"{PLACE}-18000,America/Chicago,GMT-5\n\ntime," + ",".join(
        f"precipitation_sum_member{n:02d} (mm)" for n in range(1, 5)
    )
    (row,) = days(text + "\n2026-04-11,0.0,0.1,6.0,10.0\n").rows
    assert row.chance == 0.5
    assert row.rain == pytest.approx(8e-3)


def test_the_national_grid_spreads_intervals_and_keeps_its_sum(days):
    table = days(GRID, **CHICAGO)
    row = {row.date.day: row for row in table.rows}
    assert 1e3 * row[10].rain == pytest.approx(2.5)
    assert row[10].hours == 11
    assert row[11].chance == 0.8
    assert 1e3 * row[11].rain * 0.8 == pytest.approx(11.2)
    assert 1e3 * row[12].rain == pytest.approx(0.7)
    assert row[12].hours == 7
    assert (row[11].tmin, row[11].tmax) == (4.4, 11.1)
    with pytest.raises(InputError) as caught:
        days(GRID)
    assert "zone" in english(caught.value.problems)


def test_overlapping_blocks_count_once(days):
    table = days(NORWAY, **CHICAGO)
    assert rains(table) == {10: 1.8, 11: 2.4}
    assert table.rows[1].hours == 12


@pytest.mark.parametrize(
    ("text", "fragment"),
    [
        ("{}", "no weather that is read"),
        ('{"properties": {"timeseries": [{"time"', "cut off"),
        ('{"properties": {"timeseries": 5}}', "cut off"),
        ('{"properties": {"quantitativePrecipitation": {"uom": "wmoUnit:m", "values": [{"validTime": "2026-04-10T18:00:00+00:00/PT6H", "value": 1}]}}, "geometry": {"coordinates": [[[-93, 44]]]}}', "quantitativePrecipitation"),
        (DAILY.replace("(mm)", "(furlong)"), "furlong"),
        (WIDE.replace('"   51"', '"  half"'), "half"),
        (REFERENCE + "\n99903 20260415 1 2 3", "28"),
        (STANDARD.replace("0.72", "72.00"), "more than a day brings"),
        (METRIC.replace("15.6", "75.6"), "no air temperature"),
    ],
)  # fmt: skip
def test_what_is_broken_is_told_in_a_sentence(days, text, fragment):
    with pytest.raises(InputError) as caught:
        days(text)
    assert fragment in english(caught.value.problems)


def test_what_a_forecast_does_not_cover_is_not_dry(yard, tmp_path, rules):
    """The grid's amounts end on the 12th, and the job is on the 14th."""
    (tmp_path / "grid.json").write_text(json.dumps(GRID), encoding="utf-8")
    (tmp_path / "past.csv").write_text(METRIC.replace("2026-04-1", "2026-03-1"), encoding="utf-8")
    text = (yard / "ponding-silt.toml").read_text(encoding="utf-8")
    head = text[: text.index("[weather]")]
    (tmp_path / "job.toml").write_text(
        head
        + '[weather]\njob_day = 2026-04-14\ntoday = 2026-04-10\nforecast = "grid.json"\nzone = "America/Chicago"\n',
        encoding="utf-8",
    )
    weather = read_job(tmp_path / "job.toml", rules).weather
    day = {day.date.day: day for day in weather.days}
    assert day[11].chance == 0.8
    assert day[11].expected == pytest.approx(11.2e-3)
    told, usual = 0.7e-3, rules.weather["usual_chance"].value * rules.weather["usual_amount"].value / 1e3
    assert day[12].rain == pytest.approx(told + 17 / 24 * usual)  # seven hours are told
    for later in (13, 14):
        assert day[later].chance == rules.weather["usual_chance"].value
        assert day[later].rain == pytest.approx(rules.weather["usual_amount"].value / 1e3)
    assert "assumed.usual_rain" in keys(weather.notes)


def test_thirty_years_of_hours_are_read(days):
    first = dt.datetime(1996, 1, 1)
    rows = [f"{first + dt.timedelta(hours=n):%Y-%m-%dT%H:%M},0.1,10.0" for n in range(24 * 365 * 30)]
    table = days(f"{PLACE}0,GMT,GMT\n\ntime,precipitation (mm),temperature_2m (°C)\n" + "\n".join(rows), zone="UTC")
    assert len(table.rows) >= 365 * 30
    assert 1e3 * table.rows[5].rain == pytest.approx(2.4)


def test_the_global_summary_of_the_day(days):
    head = '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TEMP","MAX","MAX_ATTRIBUTES","MIN","PRCP","PRCP_ATTRIBUTES"'
    text = f'{head}\n"7265","2026-04-10","44.9","-93.2","266","A","45.1","  60.1","*","  38.1"," 0.20","G"\n'
    text += '"7265","2026-04-11","44.9","-93.2","266","A","9999.9","9999.9"," ","9999.9","99.99"," "\n'
    table = days(text)
    assert rains(table) == {10: 5.08, 11: None}
    assert heats(table)[11] == (None, None)


def test_an_hour_that_clocks_leave_out_is_no_rain_lost(days):
    """On 8 March 2026 clocks in Chicago go from two to three: the sum stays, the day has 23 hours."""
    hours = "\n".join(f"{dt.datetime(2026, 3, 8, 7) + dt.timedelta(hours=n):%Y-%m-%dT%H:%M},0.1" for n in range(23))
    table = days(f"{PLACE}0,GMT,GMT\n\ntime,precipitation (mm)\n{hours}\n", **CHICAGO)
    assert sum(row.rain for row in table.rows) == pytest.approx(2.3e-3)
    assert rains(table)[8] == pytest.approx(2.2, abs=0.11)


@pytest.mark.parametrize("seed", range(40))
def test_spoiled_answers_are_told_and_never_trace(days, seed, survey_of):
    """Keys gone, values of another kind, numbers out of this world."""
    luck = Random(seed)
    for told in (GRID, NORWAY):
        with contextlib.suppress(InputError):
            days(spoiled(told, luck), zone="UTC-5")
    with contextlib.suppress(InputError):
        survey_of(spoiled({"Table": [["compname", "comppct_r", "hzdept_r", "hzdepb_r"], ["A", "50", "0", "20"]]}, luck))


def spoiled(data, luck):
    junk = [None, "x", -1, 1e308, [], {}, True, float("nan"), "2026-13-40T99:00:00Z", "2026-04-11T00:00:00/PT99999999H"]
    data = json.loads(json.dumps(data))
    for _ in range(luck.randint(1, 4)):
        node = data
        while isinstance(node, dict | list) and node:
            key = luck.choice(list(node) if isinstance(node, dict) else range(len(node)))
            if luck.random() < 0.3 or not isinstance(node[key], dict | list):
                node[key] = luck.choice(junk)
                break
            node = node[key]
    return data


@pytest.fixture
def survey_of(tmp_path):
    def read(data):
        (tmp_path / "soil.json").write_text(json.dumps(data), encoding="utf-8")
        return read_soil(tmp_path / "soil.json")

    return read


CHANCES = f"""{PLACE}-18000,America/Chicago,GMT-5

time,precipitation_sum (mm),precipitation_probability_max (%)
"""


def test_a_models_amount_is_not_divided_by_its_chance(days):
    """Only the grid's amounts are means over what may come."""
    (one, two, three) = days(f"{CHANCES}2026-04-10,8.0,1\n2026-04-11,10.0,40\n2026-04-12,6.0,0\n").rows
    assert (1e3 * one.rain, one.chance) == (pytest.approx(8.0), 0.01)
    assert 1e3 * two.rain == pytest.approx(10.0)
    assert three.chance is None  # rain that has no chance at all is sure


def test_days_with_a_chance_are_not_measured_days(tmp_path, yard, rules):
    text = (yard / "ponding-silt.toml").read_text(encoding="utf-8")
    head = text[: text.index("[weather]")]
    rows = "".join(f"2026-04-{n},{2.0},{'' if n < 20 else 50}\n" for n in range(10, 24))
    (tmp_path / "m.csv").write_text(CHANCES + rows, encoding="utf-8")
    (tmp_path / "job.toml").write_text(head + '[weather]\njob_day = 2026-04-22\nfile = "m.csv"\n', encoding="utf-8")
    weather = read_job(tmp_path / "job.toml", rules).weather
    assert weather.last_measured == dt.date(2026, 4, 19)
    listed = "\n".join(
        f"[[weather.days]]\ndate = 2026-04-{n}\nrain = '0.5 in'\n" + ("chance = '50 %'\n" if n == 21 else "")
        for n in range(18, 23)
    )
    (tmp_path / "job.toml").write_text(f"{head}[weather]\njob_day = 2026-04-22\n{listed}", encoding="utf-8")
    assert read_job(tmp_path / "job.toml", rules).weather.last_measured == dt.date(2026, 4, 20)


def test_a_list_that_ends_before_the_eve_is_asked_about(tmp_path, yard, rules):
    text = (yard / "ponding-silt.toml").read_text(encoding="utf-8")
    days = "[[weather.days]]\ndate = 2026-04-15\nrain = '0.5 in'\n"
    head = text[: text.index("[weather]")]
    (tmp_path / "job.toml").write_text(f"{head}[weather]\njob_day = 2026-04-22\n{days}", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_job(tmp_path / "job.toml", rules)
    assert "no weather for 2026-04-21" in english(caught.value.problems)


def test_one_moment_before_the_hours_is_not_taken_for_them(days):
    now = "time,precipitation (mm)\n2026-04-11T07:15,0.3\n\n"
    hours = "".join(f"2026-04-11T{n:02d}:00,0.5\n" for n in range(1, 9))
    table = days(f"{PLACE}-18000,America/Chicago,GMT-5\n\n{now}time,precipitation (mm)\n{hours}")
    assert sum(row.rain for row in table.rows) == pytest.approx(4e-3)


def test_tenths_of_a_winter_are_tenths_and_what_a_user_says_of_both_units_stands(days):
    winter = STORED.replace('"156"', '"26"').replace('"111"', '"-11"').replace('"94"', '"14"').replace('"117"', '"-22"')
    winter = winter.replace('"33"', '"-62"').replace('"44"', '"-58"').replace('"0"\n', '"-60"\n')
    assert heats(days(winter))[10] == (-6.2, 2.6)
    assert rains(days(winter))[11] == 5.1
    stripped = STANDARD.replace('"0.20"', '"0.2"').replace('"0.72"', '"0.7"').replace('"0.00"', '"0"')
    stripped = stripped.replace('"60"', '"40"').replace('"52"', '"41"').replace('"49"', '"39"').replace('"53"', '"42"')
    with pytest.raises(InputError):
        days(stripped)
    assert rains(days(stripped, rain_unit="in", temperature_unit="F"))[11] == 5.08


def test_a_total_that_does_not_say_of_how_many_days_is_told(days):
    table = days(WIDE.replace('"    2",",,7","  183"', ',,"  183"'))
    assert rains(table)[15] is None
    assert "weather.total_alone" in keys(table.notes)


def test_the_networks_header_and_a_long_file_that_begins_with_another_element(days):
    header = " ".join(["WBANNO", "LST_DATE", "CRX_VN", *(f"F{n}" for n in range(25))])
    assert rains(days(f"{header}\n{REFERENCE}")) == rains(days(REFERENCE))
    assert rains(days("USC00999901,20260410,WT01,1,,,7,\n" + LONG)) == rains(days(LONG))
