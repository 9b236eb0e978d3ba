"""A place that is remembered: what stays the same there from job to job. A job names it and adds what is of today."""

import datetime as dt
import os
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PrivateAttr, model_validator

from pickrig.errors import InputError, WrongError
from pickrig.facts import Key, Said, Statements
from pickrig.files import read_json
from pickrig.inputs.fields import AnyCase, FromFile, Name, Strict, Text
from pickrig.inputs.job import TESTS, Access, AnyCountry, Ground, Hazards, Stretch
from pickrig.inputs.weather import Written
from pickrig.reading import Document, check, read_toml

FOLDER = "sites"
_OF_TODAY = ("wetness", "moisture", "standing_water", "sticky", "wet_on_top", "frost", "temperature", *TESTS)
_POSITION = re.compile(r"\s*(-?\d+(?:\.\d+)?)\s*[,;]?\s+(-?\d+(?:\.\d+)?)\s*|\s*(-?\d+(?:\.\d+)?),(-?\d+(?:\.\d+)?)\s*")


def read_position(value: Any) -> tuple[float, float]:
    """Latitude and longitude in degrees, south and west negative, from "44.05, -92.45". Raises WrongError."""
    found = _POSITION.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        raise WrongError("fault.position")
    latitude, longitude = (float(part) for part in found.groups() if part is not None)
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        raise WrongError("fault.position")
    return latitude, longitude


class SiteWeather(Written):
    """Files of the days behind and of the forecast, and where they come from."""

    past: Name | None = None
    forecast: Name | None = None
    service: Annotated[Literal["us", "norway", "open-meteo"], AnyCase] | None = None


class Visit(Strict):
    """What somebody found there."""

    date: dt.date
    note: Text


class Site(FromFile):
    """A site file. Every table but its weather is a job's own, without what is of today."""

    name: Annotated[Name, Field(examples=['"Miller Road"'])]
    note: Text = ""
    position: Annotated[tuple[float, float], BeforeValidator(read_position, json_schema_input_type=str)] | None = None
    country: Annotated[str, AnyCountry] | None = None
    ground: Ground = Ground()
    stretch: Annotated[list[Stretch], Field(max_length=12)] = Field(default_factory=list)
    access: Access = Access()
    hazards: Hazards = Hazards()
    weather: SiteWeather = SiteWeather()
    visit: Annotated[list[Visit], Field(max_length=500)] = Field(default_factory=list)
    _fetched: dict[str, dict[str, Any]] = PrivateAttr(default_factory=dict)

    @model_validator(mode="after")
    def _lasts(self) -> "Site":
        today = [key for key in _OF_TODAY if key in self.ground.model_fields_set]
        if today:
            raise WrongError("fault.site_of_today", names=tuple(today))
        return self

    def fetched(self, file: str | None) -> dt.date | None:
        """The day on which a file beside the site was fetched; None where nobody fetched it."""
        at = self._fetched.get(Path(file).name, {}).get("at") if file else None
        try:
            return dt.datetime.fromisoformat(at).date() if isinstance(at, str) else None
        except ValueError:
            return None


def read_site(path: Path) -> tuple[Site, Document]:
    """A site file, and its text. Raises InputError."""
    document = read_toml(path, "site")
    site = check(Site, document).read_from(document)
    told = read_json(record_of_fetches(path))
    site._fetched = told if isinstance(told, dict) else {}
    return site, document


def record_of_fetches(path: Path) -> Path:
    """The file beside a site that says when its other files were fetched."""
    return path.with_name(f"{path.stem}.fetched.json")


def slug_of(name: str) -> str:
    """What a site's file is called."""
    return re.sub(r"[^\w]+", "-", name.strip().lower()).strip("-") or "site"


def site_path(name: str, beside: Path) -> Path:
    """Where a job's site is: the file it names, or one of that name in the folder `sites` beside it or above."""
    if name.endswith(".toml"):
        return beside / name
    slug = slug_of(name)
    folders = [beside / FOLDER, beside.parent / FOLDER, beside]
    paths = [folder / f"{slug}.toml" for folder in folders]
    return next((path for path in paths if path.is_file()), paths[0])


def with_site(document: Document) -> tuple[Document, Statements]:
    """A job's document with what its site adds, and what that is. Everything the job says itself stands.

    Raises InputError where the site file is not to be read.
    """
    name = document.data.get("site")
    if not isinstance(name, str) or not name.strip():
        return document, ()
    path = site_path(name, document.path.parent)
    if not path.is_file():
        raise InputError([document.fault(("site",), "fault.no_site", file=str(path))])
    site, told = read_site(path)
    data, taken = dict(document.data), list[str]()
    for table in ("ground", "access", "hazards"):
        theirs = _from_the_job(told.data.get(table, {}), path.parent, document.path.parent)
        ours = document.data.get(table, {})
        if isinstance(theirs, Mapping) and isinstance(ours, Mapping):
            kept = {key: value for key, value in theirs.items() if key not in ours and not _overruled(key, ours)}
            data[table] = {**kept, **ours}
            taken += [f"{table}.{key}" for key in kept]
    for key in ("stretch", "country"):
        if key in told.data and key not in document.data:
            data[key] = told.data[key]
            taken.append(key)
    data, fresh = _weather(site, path.parent, document.path.parent, data)
    notes = (
        [Said("site.gives", site=site.name, keys=tuple(Key(key) for key in (*taken, *fresh)))] if taken or fresh else []
    )
    return replace(document, data=data), (*notes, *_ages(site, data))


_OVERRULES = {
    "soil": ("ribbon", "survey"),
    "survey": ("soil", "ribbon"),
    "turn_round": ("aisle", "back_out"),
    "aisle": ("turn_round", "back_out"),
    "back_out": ("turn_round", "aisle"),
}


def _overruled(key: str, ours: Mapping[str, Any]) -> bool:
    """Whether another key of the job stands in its place."""
    return any(other in ours for other in _OVERRULES.get(key, ()))


def _from_the_job(table: Any, folder: Path, beside: Path) -> Any:
    """The same with its survey as it is found from the job's folder."""
    if not isinstance(table, Mapping) or not isinstance(table.get("survey"), str):
        return table
    return {**table, "survey": _relative(folder / table["survey"], beside)}


def _relative(file: Path, beside: Path) -> str:
    """A file from a folder: an answer tells nobody where a yard keeps its files."""
    try:
        return Path(os.path.relpath(file.resolve(), beside.resolve())).as_posix()
    except ValueError:  # on another drive
        return str(file.resolve())


def _weather(site: Site, folder: Path, beside: Path, data: dict[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """The site's files, where the job has neither days nor a file of its own; how they are written, always."""
    ours, own = data.get("weather"), site.weather
    if not isinstance(ours, Mapping):
        return data, []
    files = {"file": own.past, "forecast": own.forecast} if not {"file", "days"} & set(ours) else {}
    theirs: dict[str, Any] = {key: _relative(folder / name, beside) for key, name in files.items() if name is not None}
    for key in ("rain_unit", "temperature_unit", "date_order", "zone", "station"):
        if getattr(own, key) is not None:
            theirs[key] = getattr(own, key)
    written = site.fetched(own.forecast)
    if theirs.get("forecast") and own.past is None and written is not None and written - _DAY < _day_of(ours):
        theirs["today"] = written - _DAY  # a service knows the days behind as well as those ahead
    if site.position is not None:
        theirs["latitude"] = f"{site.position[0]} deg"
    return {**data, "weather": {**theirs, **ours}}, [
        f"weather.{key}" for key in files if key in theirs and key not in ours
    ]


_DAY = dt.timedelta(days=1)


def _day_of(weather: Mapping[str, Any]) -> dt.date:
    day = weather.get("job_day")
    return day if isinstance(day, dt.date) and not isinstance(day, dt.datetime) else dt.date.min


def _ages(site: Site, data: dict[str, Any]) -> Statements:
    """When the survey and the weather were fetched, by the day of the job."""
    job_day = data["weather"].get("job_day") if isinstance(data.get("weather"), Mapping) else None
    told = []
    files = {"survey": site.ground.survey, "past": site.weather.past, "forecast": site.weather.forecast}
    for what, file in files.items():
        at = site.fetched(file)
        if at is not None:
            days = (job_day - at).days if isinstance(job_day, dt.date) and what != "survey" else 0
            told.append(Said(f"site.fetched_{what}", date=at, days=max(days, 0)))
    return tuple(told)
