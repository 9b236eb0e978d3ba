"""Bring a site's soil and weather: fetched, looked at, and only then put in the place of what was there before."""

import datetime as dt
import json
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pickrig.errors import InputError
from pickrig.facts import Said, Statements
from pickrig.fetch import services
from pickrig.fetch.client import Answer, Client
from pickrig.files import read_json, write_whole
from pickrig.inputs.site import Site, record_of_fetches
from pickrig.inputs.survey import read_soil
from pickrig.inputs.weather.recognise import read_weather
from pickrig.inputs.weather.written import Written
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Service

NAMES = {"survey": "soil.json", "past": "past.csv", "forecast": "forecast.json"}


@dataclass(frozen=True)
class Update:
    """told: what was brought or kept, a statement each. files: the keys of the site file that name what was brought.
    failed: whether something asked for could not be brought."""

    told: Statements
    files: dict[str, str]
    failed: bool


@dataclass(frozen=True)
class _Wish:
    """One file of a site: what brings it, and what has to be able to read it."""

    what: str
    service: Service
    ask: Callable[[Client, str], Answer]
    read: Callable[[Path], object]


def update(path: Path, site: Site, rules: Rules, contact: str = "", again: bool = False) -> Update:
    """The site's files fetched where they are older than their service needs. again: however young they are. What
    cannot be brought leaves the old file as it was, and is told. Raises InputError for a site without a position."""
    if site.position is None:
        raise InputError([site.fault(("position",), "fault.site_no_position")])
    now, record = dt.datetime.now(dt.UTC).replace(microsecond=0), _record(path)
    told, files, failed = list[Said](), dict[str, str](), False
    with Client(rules, contact) as client:
        for wish in _wishes(site, rules, now.date()):
            name = f"{path.stem}.{NAMES[wish.what]}"
            before = record.get(name, {})
            if before.get("position") != list(site.position) or before.get("from") != wish.service.url:
                before = {}  # of another place, or another service
            if not again and _is_young(path.with_name(name), before, wish.service, now):
                told.append(Said(f"site.kept_{wish.what}", at=_day(before)))
                files[wish.what] = name
                continue
            try:
                brought = _bring(wish, client, path.with_name(name), before, now)
                record[name] = {**brought, "position": list(site.position)}
            except InputError as error:
                failed = True
                told += [*error.problems, Said("site.old_kept") if path.with_name(name).exists() else Said("site.none")]
                continue
            files[wish.what] = name
            told.append(Said(f"site.brought_{wish.what}", file=name))
    write_whole(record_of_fetches(path), json.dumps(record, indent=2) + "\n")
    return Update(tuple(told), files, failed)


def _wishes(site: Site, rules: Rules, today: dt.date) -> list[_Wish]:
    """What is known of the place decides whom to ask: the national services in their country, else those that cover
    the earth."""
    at, own, rows = site.position, site.weather, rules.services
    assert at is not None
    in_us = (site.country or "US") == "US"
    weather = Written(zone=own.zone or "UTC", station=own.station)

    def days(path: Path) -> object:
        return read_weather(path, weather, site.country or "US", rules)

    soil = _Wish("survey", rows.us_soil, lambda client, _: services.us_soil(client, at, rules), read_soil)
    if not in_us:
        soil = _Wish("survey", rows.soil_grid, lambda client, _: services.soil_grid(client, at, rules), read_soil)
    wishes = [soil]
    service = own.service or ("us" if in_us else "norway")
    if service == "open-meteo":
        ask = lambda client, _: services.open_meteo(client, at, rules, own.zone)  # noqa: E731
        return [*wishes, _Wish("forecast", rows.open_meteo, ask, days)]
    if own.station is not None:
        station = own.station
        ask = lambda client, _: services.us_daily(client, station, today, rules)  # noqa: E731
        wishes.append(_Wish("past", rows.us_daily, ask, days))
    if service == "us":
        ask = lambda client, since: services.us_forecast(client, at, rules, since)  # noqa: E731
        return [*wishes, _Wish("forecast", rows.us_forecast, ask, days)]
    ask = lambda client, since: services.norway(client, at, rules, since)  # noqa: E731
    return [*wishes, _Wish("forecast", rows.norway, ask, days)]


def _bring(wish: _Wish, client: Client, path: Path, before: dict[str, Any], now: dt.datetime) -> dict[str, Any]:
    """Fetch it; write it only where it can be read. What to remember of it."""
    since = str(before.get("modified", "")) if path.exists() else ""
    answer = wish.ask(client, since)
    if answer.text is not None:
        with tempfile.TemporaryDirectory() as folder:
            trial = Path(folder) / path.name
            trial.write_text(answer.text, encoding="utf-8")
            try:
                wish.read(trial)
            except InputError as error:
                raise InputError([Said("fault.net_strange", host=wish.service.url)]) from error
        write_whole(path, answer.text)
    return {"from": wish.service.url, "at": now.isoformat(), "modified": answer.modified}


def _is_young(path: Path, before: dict[str, Any], service: Service, now: dt.datetime) -> bool:
    try:
        at = dt.datetime.fromisoformat(str(before["at"])).astimezone(dt.UTC)
    except (KeyError, ValueError):
        return False
    return path.exists() and now - at < dt.timedelta(days=service.days)


def _day(before: dict[str, Any]) -> dt.date:
    return dt.datetime.fromisoformat(str(before["at"])).date()


def _record(path: Path) -> dict[str, dict[str, Any]]:
    told = read_json(record_of_fetches(path))
    return {k: v for k, v in told.items() if isinstance(v, dict)} if isinstance(told, dict) else {}
