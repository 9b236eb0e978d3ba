"""Tomorrow's ground from the weather: does it move as a site does, and are weather files read as people have them?"""

import datetime as dt
import itertools
import re

import numpy as np
import pytest

from pickrig.checks.ground.draws import draw_luck
from pickrig.checks.ground.freezing import HOURS
from pickrig.checks.ground.site import draw_site, draw_sites
from pickrig.checks.ground.water import _forecast
from pickrig.errors import InputError
from pickrig.facts import Ruled
from pickrig.inputs import Job, read_job
from pickrig.plans.pick.answer import pick
from pickrig.report.pick.told import help_
from tests.conftest import chances_of, english, values

DRY = [(d, 0.0) for d in range(8, 26)]


@pytest.fixture
def lot(tmp_path, rules):
    """A job on a silt lot with the given rain by day of April, the job on the 21st."""

    def make(rain=(), soil="silt", drainage="ponds", extra="", temperatures=(6, 17), cover="bare", job_day=21):
        days = dict(DRY) | dict(rain)
        low, high = temperatures
        listed = "".join(
            f'[[weather.days]]\ndate = 2026-04-{d:02d}\nrain = "{r} in"\ntmin = "{low} C"\ntmax = "{high} C"\n'
            for d, r in sorted(days.items())
        )
        path = tmp_path / "job.toml"
        path.write_text(
            f'title = "invented"\n[task]\nkind = "carry pallets"\nload = "1700 lb"\nsplit = true\n'
            f'[ground]\nsoil = "{soil}"\ndrainage = "{drainage}"\ncover = "{cover}"\n{extra}\n[access]\ngate = "open"\n'
            f'[weather]\njob_day = 2026-04-{job_day}\nlatitude = "44 deg"\n{listed}'
        )
        return read_job(path, rules)

    return make


def chances(job, fleet, rules):
    return chances_of(job, fleet, rules, draws=4000)


def test_a_ponding_silt_lot_after_an_inch_and_a_half(lot, fleet, rules):
    dry, wet = (chances(lot([(20, rain)]), fleet, rules) for rain in (0.0, 1.5))
    # Two weeks without rain: it may go; a low spot is slow to dry below, the weaker layer and the weakest spot decide.
    assert dry["Wheeled 60"] > rules.limits.floats.caution + 0.1
    assert wet["Wheeled 60"] < rules.limits.floats.caution  # out
    assert wet["Wide-track 68"] > rules.limits.floats.caution + 0.15  # stays, and loses less
    assert dry["Wide-track 68"] - wet["Wide-track 68"] < 0.6 * (dry["Wheeled 60"] - wet["Wheeled 60"])
    ordinary = [
        chances(lot(rain, drainage="ordinary"), fleet, rules)["Wheeled 60"] for rain in ([(20, 1.5)], [(15, 1.5)], [])
    ]
    assert ordinary == sorted(ordinary)
    assert ordinary[1] > ordinary[0] + 0.05  # five days give some of it back


def test_a_heel_that_leaves_no_print_overrules_most_of_the_way(lot, fleet, rules):
    gloomy = chances(lot([(20, 1.5)]), fleet, rules)["Wheeled 60"]
    tested = chances(lot([(20, 1.5)], extra='heel = "heel no print"'), fleet, rules)["Wheeled 60"]
    dry = chances(lot(), fleet, rules)["Wheeled 60"]
    assert gloomy < tested < dry


@pytest.mark.parametrize("soil", ["silt", "lean clay", "fat clay", "silty sand"])
@pytest.mark.parametrize("day", [12, 18, 20, 21])
def test_more_rain_never_raises_the_chance(lot, fleet, rules, soil, day):
    by_rain = [chances(lot([(day, rain)], soil=soil), fleet, rules) for rain in (0.0, 0.3, 1.0, 2.5)]
    for less, more in itertools.pairwise(by_rain):
        assert all(more[name] <= less[name] + 1e-12 for name in less)


@pytest.mark.parametrize("soil", ["silt", "lean clay", "silty sand"])
def test_better_drainage_never_lowers_the_chance(lot, fleet, rules, soil):
    rain = [(17, 0.8), (19, 1.0)]
    by_drainage = [
        chances(lot(rain, soil=soil, drainage=d), fleet, rules) for d in ("ponds", "flat", "ordinary", "sloping")
    ]
    for worse, better in itertools.pairwise(by_drainage):
        assert all(better[name] >= worse[name] - 1e-12 for name in worse)


def test_seen_water_today_overrides_dry_days_before(lot, rules):
    seen, unseen = (draw_site(lot(extra=e), rules, 2000).tenths[1] for e in ("standing_water = true", ""))
    assert seen < 0.6 * unseen


def test_without_a_test_nothing_is_weighed(lot, rules):
    plain = draw_site(lot([(20, 1.0)]), rules, 2000)
    assert len(set(plain.strength.tolist())) > 1500  # a resampled lot would repeat draws


def test_frost_builds_carries_and_thaws_from_the_top(lot, fleet, rules):
    frozen = draw_site(lot(temperatures=(-16, -8)), rules, 500)
    assert 0.3 < frozen.frost < 1.0
    answer = pick(lot(temperatures=(-16, -8)), fleet, rules, draws=500)
    assert answer.pick.finding("floats").verdict == "go"
    assert "through the day's work" in english(answer.pick.finding("floats").says)
    cold = lot([(d, 0.0) for d in range(1, 8)], temperatures=(-16, -8))
    warm = [
        d.model_copy(update={"tmin": 2.0, "tmax": 12.0}) if d.date > dt.date(2026, 4, 17) else d
        for d in cold.weather.days
    ]
    thawing = cold.model_copy(update={"weather": cold.weather.model_copy(update={"days": warm})})
    site = draw_site(thawing, rules, 500)
    assert site.frost == 0  # no new skin on the thawed soil
    assert site.tenths[1] < draw_site(lot(), rules, 500).tenths[1]  # full of water that cannot leave


# Ten days of rain on a silt lot, three frosty ones, and the day between 24 and 38 F; and one night's breath of frost.
SOAKED = [(d, 0.4) for d in range(8, 18)]


def nights(job, ends):
    """The job with these lowest and highest temperatures on the last days, the job's day last."""
    first = job.weather.job_day - dt.timedelta(len(ends) - 1)
    days = [
        d.model_copy(update=dict(zip(("tmin", "tmax"), ends[(d.date - first).days], strict=True)))
        if first <= d.date <= job.weather.job_day
        else d
        for d in job.weather.days
    ]
    return job.model_copy(update={"weather": job.weather.model_copy(update={"days": days})})


def test_a_crust_of_three_nights_is_a_caution_with_its_hour_at_best(lot, fleet, rules):
    job = nights(lot(SOAKED, drainage="ordinary", temperatures=(2, 8)), [(-9, 1), (-9, 1), (-9, 1), (-4.4, 3.3)])
    answer = pick(job, fleet, rules, draws=1000)
    for standing in answer.ranking:
        found = standing.finding("floats")
        if found.verdict == "go":
            assert "frozen or thawed" in english(found.says)
        elif "Only while frozen" in english(found.says):
            assert "Thawed, the ground holds it" in english(found.says)
            assert standing.finding("floats").provided is not None


def test_one_nights_frost_carries_nobody(lot, fleet, rules):
    plain = lot(SOAKED, drainage="ordinary", temperatures=(2, 8))
    breath = nights(plain, [(-4, -1), (-1, 4)])
    for name, chance in chances(breath, fleet, rules).items():
        assert chance <= chances(plain, fleet, rules)[name] + 0.15, name


def test_by_noon_a_crust_carries_less_than_at_dawn(lot, rules):
    soaked = lot(SOAKED, drainage="ordinary", temperatures=(2, 8))
    site = draw_site(nights(soaked, [(-9, 1), (-9, 1), (-9, 1), (-4, 6)]), rules, 500)
    dawn, noon = (float(np.median(site.crust[HOURS.index(hour)])) for hour in (7.5, 13.5))
    assert dawn > noon


def test_a_breath_of_frost_does_not_make_thawed_soup_solid(lot, rules):
    cold = lot([(d, 0.0) for d in range(1, 8)], temperatures=(-16, -8))

    def thawed_then(mean):
        days = [
            d.model_copy(update={"tmin": mean - 1, "tmax": mean + 1})
            if d.date >= dt.date(2026, 4, 20)
            else d.model_copy(update={"tmin": 2.0, "tmax": 12.0})
            if d.date > dt.date(2026, 4, 15)
            else d
            for d in cold.weather.days
        ]
        return draw_site(
            cold.model_copy(update={"weather": cold.weather.model_copy(update={"days": days})}), rules, 500
        )

    breath, hard = thawed_then(-0.05), thawed_then(-25.0)
    assert breath.frost < 0.02
    assert hard.frost > 0.10


def test_one_cold_night_floods_nothing(lot, rules):
    job = lot(temperatures=(6, 17))
    nights = [
        d.model_copy(update={"tmin": -3.0, "tmax": 2.0}) if d.date == dt.date(2026, 4, 19) else d
        for d in job.weather.days
    ]
    touched = job.model_copy(update={"weather": job.weather.model_copy(update={"days": nights})})
    assert draw_site(touched, rules, 500).tenths[1] > 0.9 * draw_site(job, rules, 500).tenths[1]


def test_forecast_rain_is_lognormal_and_each_day_its_own(rules):
    luck = draw_luck(4000, 0)
    logs = [np.log(_forecast(lead, rules, luck)) for lead in (0, 1, 2)]
    assert np.all(logs[0] == 0)
    assert [np.std(x) for x in logs[1:]] == pytest.approx([0.5, 0.5], abs=0.02)
    assert abs(np.corrcoef(logs[1], logs[2])[0, 1]) < 0.05


def test_a_test_narrows_as_bayes_says_and_a_second_one_more(answer_to):
    def spread(*tests):
        job = answer_to(('wetness = "wet"', "\n".join(['wetness = "wet"', *tests])))
        logs = np.log(job.site.undisturbed)
        return float(np.std(logs)), float(np.median(logs))

    guess, test = np.log(2.0), np.hypot(np.log(1.4), np.log(2.0) / np.sqrt(12))
    before, middle = spread()
    after, moved = spread('thumb = "thumb with effort"')
    gain = max(before, guess) ** 2 / (max(before, guess) ** 2 + test**2)
    target = np.log(12 * 24e3 * np.sqrt(2))  # the band's middle as a cone index; Nk is near 14 in the middle
    assert moved - middle == pytest.approx(gain * (target + np.log(14 / 12) - middle), abs=0.06)
    assert after < test
    assert spread('thumb = "thumb with effort"', 'boot = "walking man sinks 1 in"')[0] < after


def test_a_test_fades_as_the_weather_goes_on(lot, rules):
    plain, tested = (draw_sites(lot([(20, 1.0)], extra=e), rules, 2000) for e in ("", 'heel = "heel sinks 3 in"'))
    lost = [np.log(p.tenths[1] / t.tenths[1]) for p, t in zip(plain, tested, strict=True)]
    assert lost[0] > 0.5
    for day, loss in enumerate(lost):
        assert loss == pytest.approx(lost[0] * np.exp(-day / 7), rel=0.12)


def test_the_amount_of_stone_is_area_times_thickness(answer_to):
    stone = next(h for h in answer_to().helps if h.machine == "Wide-track 68" and h.help == Ruled("crushed stone"))
    assert stone.area == pytest.approx(100 * 0.3048 * (68 * 0.0254 + 0.6))
    assert stone.mass == pytest.approx(stone.area * stone.thickness * 1600)


def test_the_days_ahead_dry_and_the_answer_says_who_could_go(lot, fleet, rules):
    answer = pick(lot([(20, 1.5)]), fleet, rules, draws=2000)
    assert [d.date.day for d in answer.days] == [21, 22, 23, 24, 25]
    wheeled = [d.chances["Wheeled 66"] for d in answer.days]
    assert wheeled == sorted(wheeled)
    assert answer.better_day


def test_waiting_is_an_answer_when_nothing_fits_today(lot, fleet, rules):
    wheels = fleet.model_copy(update={"machines": tuple(m for m in fleet.machines if m.tyres)})
    answer = pick(
        lot([(20, 3.0), *((d, 0.0) for d in range(26, 31))], drainage="sloping", extra="standing_water = true"),
        wheels,
        rules,
        draws=2000,
    )
    assert answer.pick is None
    assert answer.days[0].pick is None
    assert answer.better_day.key == "when.wait"
    assert any(d.pick for d in answer.days)


def test_a_test_is_worth_nothing_when_no_result_changes_what_goes(answer_to):
    sure = answer_to(('wetness = "wet"', 'wetness = "dry"'), ('gate = "72 in"', 'gate = "open"'))
    assert sure.worth
    for worth in sure.worth:
        assert worth.changes < 0.02
        assert worth.value < 1
        assert (worth.value == 0) == (worth.changes == 0)


def test_a_test_is_worth_money_where_the_ground_is_in_doubt(answer_to, fleet):
    wheels = fleet.model_copy(update={"machines": tuple(m for m in fleet.machines if m.tyres)})
    answer = answer_to(("[access]", '[costs]\nrecovery = "$300"\nlost_half_day = "$900"\n\n[access]'), machines=wheels)
    thumb, cone = answer.worth
    assert answer.pick is None
    assert thumb.value > 20
    assert cone.value > thumb.value  # the better instrument is never worth less
    assert 0 < thumb.changes < 1
    assert "home" not in thumb.says.key  # nothing is sent now, so a result can only send something
    # never more than knowing the ground for certain: at most every bogging avoided
    assert thumb.value < 300 + 900


def test_what_a_test_would_change_is_what_the_tool_itself_would_say(answer_to):
    """A result named as changing the pick does change it when it is put in the file, and the other way round."""
    worth = next(w for w in answer_to().worth if w.test == "thumb")
    picks = {
        result: answer_to(('wetness = "wet"', f'wetness = "wet"\nthumb = "{result}"')).pick
        for result in ("fist easily", "thumb easily", "thumb with effort", "thumb dents", "thumbnail")
    }
    changed = any(pick is None or pick.name != "Wide-track 68" for pick in picks.values())
    assert changed == (worth.changes > 0)
    assert worth.says.key == "worth.thumb_home"


def test_helps_raise_the_chance_and_say_how_much(answer_to):
    answer = answer_to()
    before = {s.name: s.finding("floats").chance for s in answer.ranking}
    assert answer.helps
    for item in answer.helps:
        assert item.chance > before[item.machine]
        assert item.area > 0
    stone = next(h for h in answer.helps if h.machine == "Wide-track 68" and h.help == Ruled("crushed stone"))
    assert stone.enough
    assert re.match(
        r"Crushed stone, \d+\.\d in over [\d,]+ ft² for every 100 ft of route, \d+ tons:", english(help_(stone))
    )


CSV = "date,precipitation_sum (mm),temperature_2m_min (°C),temperature_2m_max (°C)\n"


@pytest.fixture
def with_csv(tmp_path, rules):
    def make(text, more="", name="w.csv"):
        (tmp_path / name).write_text(text, encoding="utf-8")
        path = tmp_path / "job.toml"
        path.write_text(
            'title = "x"\n[task]\nkind = "carry pallets"\nload = "900 lb"\n[ground]\nsoil = "silt"\n'
            f'[weather]\njob_day = 2026-04-21\nfile = "w.csv"\n{more}\n'
        )
        return read_job(path, rules)

    return make


ROWS = "".join(f"2026-04-{d:02d},{r},5,15\n" for d, r in [(18, 0), (19, 12.7), (20, 0), (21, 2)])


@pytest.mark.parametrize(
    ("text", "more"),
    [
        (CSV + ROWS, ""),
        ("Date;Rain (mm);Tmin (C);Tmax (C)\n" + ROWS.replace(",", ";"), ""),
        ("# a note\n\nDATE,PRCP,TMIN,TMAX\n" + ROWS, 'rain_unit = "mm"\ntemperature_unit = "C"'),
        ("Date/Time,Total Precip (mm/day),Low Temp [°C],High Temp [degC]\n" + ROWS, ""),
        ("date;rain (mm);tmin (C);tmax (C)\n" + ROWS.replace(",", ";").replace("12.7", "12,7"), ""),
        (
            "date,rain (in.),tmin (C),tmax (F)\n"
            "2026-04-18,0,5,59\n2026-04-19,0.5,5,59\n2026-04-20,0,5,59\n2026-04-21,0.0787401574803,5,59\n",
            "",
        ),
        ("date,rain_mm,tmin_c,tmax_c,wind\n" + ROWS.replace("\n", ",3\n"), ""),
        (
            "\ufeffdate,rain (in),tmin (F),tmax (F)\r\n"
            "4/18/2026,0,41,59\r\n4/19/2026,0.5,41,59\r\n4/20/2026,0,41,59\r\n4/21/2026,0.0787401574803,41,59\r\n",
            "",
        ),
    ],
)
def test_weather_files_as_people_download_them(with_csv, text, more):
    days = with_csv(text, more).weather.days
    assert [d.rain for d in days] == pytest.approx([0, 0.0127, 0, 0.002])
    assert [d.tmin for d in days] == pytest.approx([5] * 4)
    assert [d.tmax for d in days] == pytest.approx([15] * 4)


def test_gaps_are_filled_with_mean_rain_and_told(with_csv):
    weather = with_csv(CSV + ROWS.replace("2026-04-19,12.7,5,15\n", "").replace("2026-04-18,0", "2026-04-18,3")).weather
    filled = next(d for d in weather.days if d.date == dt.date(2026, 4, 19))
    assert filled.rain == pytest.approx((3 + 0 + 2) / 3 / 1000)
    assert values(weather.notes, "assumed.mean_rain")["days"] == (dt.date(2026, 4, 19),)


def test_a_blank_rain_cell_keeps_its_temperatures_and_others_are_taken_from_the_nearest_day(with_csv):
    text = CSV + "2026-04-18,3,-20,-10\n2026-04-19,,-21,-11\n2026-04-20,0,,\n"
    days = {d.date.day: d for d in with_csv(text).weather.days}
    assert (days[19].tmin, days[19].tmax) == (-21, -11)
    assert (days[20].tmin, days[20].tmax) == (-21, -11)
    assert days[19].rain == pytest.approx(0.0015)


@pytest.mark.parametrize(
    ("text", "fragments"),
    [
        ("date,rain,tmin (C),tmax (C)\n" + ROWS, ['column "rain" does not say its unit', "weather.rain_unit"]),
        ("date,rain (mm),tmin,tmax\n" + ROWS, ['column "tmin" does not say its unit', "weather.temperature_unit"]),
        ("when,wet\n1,2\n", ["no header with a date and a rain column"]),
        (CSV, ["no days under it"]),
        (CSV + "yesterday,1,2,3\n", ["line 2", '"yesterday" is not a date']),
        (CSV + "2026-04-20,lots,2,3\n", ["line 2", 'rain is "lots"']),
        (CSV + "2026-04-20,-4,2,3\n", ["line 2", "looks wrong"]),
        (CSV + "2026-04-20,4000,2,3\n", ["line 2", "looks wrong", "unit"]),
        (CSV + "2026-04-20,4,20,3\n", ["line 2", "tmin is above tmax"]),
        (CSV + "2026-04-20,4,2,3\n2026-04-20,4,2,3\n", ["stands there twice"]),
        (CSV + "2026-01-20,4,2,3\n", ["no weather for 2026-04-20"]),
        ("", ["is empty"]),
        ("date,rain (mm),tmin (C)\n" + ROWS, ["a column for tmin and none for tmax"]),
        ("date,rain (mm),precip (in)\n" + ROWS, ["more than one column for rain"]),
        (CSV + '2026-04-20,"4,2,3\n', ["quote that is not closed"]),
        (CSV + '2026-04-20,"3,5",2,3\n', ["line 2", "decimal point"]),
        ("# a note\n\n" + CSV + "\n2026-04-19,4,2,3\nsoon,4,2,3\n", ["line 6", '"soon"']),
    ],
)
def test_weather_file_faults(with_csv, text, fragments):
    with pytest.raises(InputError) as caught:
        with_csv(text)
    assert len(caught.value.problems) == 1
    for fragment in fragments:
        assert fragment in str(caught.value).splitlines()[0]


def test_a_missing_weather_file_is_told(with_csv):
    with pytest.raises(InputError, match="no such file"):
        with_csv(CSV + ROWS, name="other.csv")


def test_all_days_share_their_draws(lot, rules):
    sites = draw_sites(lot([(20, 1.5)]), rules, 2000)
    weak = [set((s.strength < s.tenths[0]).nonzero()[0].tolist()) for s in sites[:2]]
    assert len(weak[0] & weak[1]) > 0.8 * len(weak[0])


def winter(tmp_path, rules, ends, ground='soil = "silt"', job_day=20, rain=()):
    """A job on a grass lot on a day of January. ends: lowest and highest of each day from the first on, degC; a list
    that ends sooner leaves the rest unknown. rain: mm by day."""
    listed = "".join(
        f'[[weather.days]]\ndate = 2026-01-{d:02d}\nrain = "{dict(rain).get(d, 0)} mm"\n'
        f'tmin = "{both[0]} C"\ntmax = "{both[1]} C"\n'
        for d, both in enumerate(ends, 1)
    )
    today = min(len(ends), job_day - 1)
    path = tmp_path / "winter.toml"
    path.write_text(
        f'title = "invented"\n[task]\nkind = "carry pallets"\nload = "1700 lb"\nsplit = true\n[access]\ngate = "open"\n'
        f'[ground]\ncover = "grass"\n{ground}\n'
        f'[weather]\njob_day = 2026-01-{job_day}\ntoday = 2026-01-{today}\nlatitude = "44 deg"\n{listed}'
    )
    return read_job(path, rules)


def floats(job, fleet, rules):
    return {s.machine.name: s.finding("floats") for s in pick(job, fleet, rules, draws=1000).ranking}


def on_frost(found):
    """The findings that rest on frost."""
    return [f for f in found.values() if f.provided is not None]


COLD = (-14.0, -6.0)


def test_probed_frost_thaws_as_the_weather_does(tmp_path, fleet, rules):
    thawed = winter(tmp_path, rules, [(5, 15)] * 20, 'soil = "silt"\nwetness = "wet"\nfrost = "6 in"', job_day=20)
    kept = winter(tmp_path, rules, [COLD] * 20, 'soil = "silt"\nwetness = "wet"\nfrost = "8 in"', job_day=20)
    assert draw_site(kept, rules, 500).frost > 0.20
    days = [d.model_copy(update={"tmin": 5.0, "tmax": 15.0}) if d.date.day > 10 else d for d in kept.weather.days]
    ten = thawed.weather.model_copy(update={"today": dt.date(2026, 1, 10), "days": days})
    after_ten_warm_days = thawed.model_copy(update={"weather": ten})
    assert draw_site(after_ten_warm_days, rules, 500).frost == 0
    assert not on_frost(floats(after_ten_warm_days, fleet, rules))


def test_probed_open_ground_is_not_frozen_by_the_weeks_before(tmp_path, rules):
    frozen = winter(tmp_path, rules, [COLD] * 20)
    probed = winter(tmp_path, rules, [COLD] * 20, 'soil = "silt"\nfrost = "0 in"')
    assert 0 < draw_site(probed, rules, 500).frost < draw_site(frozen, rules, 500).frost - 0.1  # one night's


def test_frost_on_temperatures_nobody_forecast_is_a_caution_at_best(tmp_path, fleet, rules):
    forecast = winter(tmp_path, rules, [COLD] * 20, 'soil = "silt"\nwetness = "wet"')
    assert any(f.verdict == "go" for f in on_frost(floats(forecast, fleet, rules)))
    for last in (16, 19):
        guessed = winter(tmp_path, rules, [COLD] * last, 'soil = "silt"\nwetness = "wet"')
        found = on_frost(floats(guessed, fleet, rules))
        assert found
        assert {f.verdict for f in found} == {"caution"}
        assert "Nobody measured or forecast these temperatures" in english(found[0].says)


@pytest.mark.parametrize("ground", ['soil = "organic silt"\nwetness = "wet"', 'soil = "silt"\nstanding_water = true'])
def test_frost_on_water_or_organic_soil_is_a_caution_at_best(tmp_path, fleet, rules, ground):
    found = on_frost(floats(winter(tmp_path, rules, [COLD] * 20, ground), fleet, rules))
    assert "go" not in {f.verdict for f in found}


def test_snow_keeps_the_cold_out_whether_or_not_the_wetness_was_seen(tmp_path, rules):
    snow = [(d, 12) for d in range(1, 6)]
    plain, seen = (
        winter(tmp_path, rules, [(-12, -4)] * 20, 'soil = "silt"' + word, rain=snow)
        for word in ("", '\nwetness = "wet"')
    )
    bare = winter(tmp_path, rules, [(-12, -4)] * 20, 'soil = "silt"\nwetness = "wet"')
    plain, seen, bare = (draw_site(job, rules, 500).frost for job in (plain, seen, bare))
    assert seen == pytest.approx(plain, abs=0.01)
    assert bare > seen + 0.1


def test_a_pond_freezes_before_the_ground_under_it(lot, rules):
    rained = lot([(d, 1.2) for d in range(8, 15)], temperatures=(6, 17))
    days = [
        d.model_copy(update={"tmin": -14.0, "tmax": -6.0}) if d.date > dt.date(2026, 4, 17) else d
        for d in rained.weather.days
    ]
    site = draw_site(
        rained.model_copy(update={"weather": rained.weather.model_copy(update={"days": days})}), rules, 500
    )
    assert np.mean(site.crust[2] == 0) > 0.5


def test_rain_about_freezing_does_not_jump(tmp_path, rules):
    rain = [(d, 8) for d in range(1, 20)]
    ends = ((-5.5, 5.0), (-5.1, 5.0), (-4.9, 5.0), (-4.5, 5.0))
    levels = [draw_site(winter(tmp_path, rules, [both] * 20, rain=rain), rules, 500).tenths[1] for both in ends]
    for one, other in itertools.pairwise(levels):
        assert abs(np.log(one / other)) < 0.25


def test_work_that_ends_before_the_thaw_is_carried_by_the_frost(lot, fleet, rules):
    """Frost through a cold week, and a day that thaws by noon."""
    cold = lot([(d, 0.0) for d in range(1, 8)], temperatures=(-9, -3))
    days = [d.model_copy(update={"tmax": 9.0}) if d.date == cold.weather.job_day else d for d in cold.weather.days]
    thaws = cold.model_copy(update={"weather": cold.weather.model_copy(update={"days": days})})

    def holds(**hours):
        task = thaws.task.model_copy(update=hours)
        return chances(thaws.model_copy(update={"task": task}), fleet, rules)["Wheeled 60"]

    early, late = holds(end=dt.time(9)), holds(start=dt.time(14))
    assert early > late + 0.05


def test_hours_of_work_are_the_time_there_is(fleet, rules):
    def used(**hours):
        task = {"kind": "carry pallets", "load": 500.0, "pieces": 20, "split": True} | hours
        job = Job.of(rules=rules, task=task, ground={"soil": "CL", "wetness": "dry"}, access={"gate": "open"})
        return pick(job, fleet, rules, draws=300).ranking[0].finding("produces").value

    assert used(start="7:00", end="11:00") == pytest.approx(2 * used(start="7:00", end="3 PM"))
    assert used(start="7:00", end="11:00") == pytest.approx(used(day=4 * 3600.0))


@pytest.mark.parametrize(
    ("hours", "says"),
    [
        ({"start": "9:00", "end": "7:00"}, "ends before it starts"),
        ({"start": "7:00", "end": "9:00", "day": 3600.0}, "keep one of them"),
        ({"start": "half past seven"}, "a time of day"),
    ],
)
def test_hours_that_cannot_be_are_told(rules, hours, says):
    with pytest.raises(InputError, match=says):
        Job.of(rules=rules, task={"kind": "carry pallets"} | hours, ground={"soil": "CL"})
