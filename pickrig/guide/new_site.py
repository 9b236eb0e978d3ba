"""A site file from what somebody knows of a place, with the files of soil and weather laid beside it."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import tomlkit

from pickrig.errors import InputError, OutputError, WrongError
from pickrig.facts import Said
from pickrig.files import make_folder, read_text, write_whole
from pickrig.guide.toml_edit import parsed, table_in
from pickrig.inputs.job import NOT_KNOWN
from pickrig.inputs.job_file import job_of
from pickrig.inputs.site import FOLDER, Site, read_position, read_site, slug_of
from pickrig.inputs.survey import Survey
from pickrig.inputs.weather.recognise import read_weather
from pickrig.rulebook import Rules

_TABLES = {"survey": "ground", "past": "weather", "forecast": "weather"}
_ENDS = (".json", ".csv", ".txt")
_OF_A_JOB = ("ground", "access", "hazards", "stretch", "country")
_LARGEST = 60_000_000  # bytes of a weather file


def new_site(
    name: str, beside: Path, keys: dict[str, str | None], files: dict[str, Path | None], at: str | None = None
) -> Path:
    """Write `sites/<name>.toml` in a folder, with copies of the files given, and say where. keys: dotted keys of the
    site file; None leaves one out. Raises InputError where a file cannot be read, OutputError where the site is there.
    """
    folder = beside / FOLDER
    path = folder / f"{slug_of(name)}.toml"
    if path.exists():
        raise OutputError(Said("fault.site_there", file=str(path)))
    texts = {what: read_text(file, "any", _LARGEST) for what, file in files.items() if file is not None}
    document = tomlkit.document()
    document["name"] = name
    if at is not None:
        document["position"] = at
    for key, value in keys.items():
        if value is not None:
            *tables, last = key.split(".")
            table_in(document, tables)[last] = value
    make_folder(folder)
    for what, text in texts.items():
        beside_it = path.with_name(f"{path.stem}.{what}{_end_of(files[what])}")
        write_whole(beside_it, text)
        table_in(document, [_TABLES[what]])[what] = beside_it.name
    write_whole(path, tomlkit.dumps(document))
    return path


def take_back(path: Path) -> None:
    """Remove a site that turned out not to be readable, with the copies beside it; the user's own files stay."""
    for beside_it in (path, *(path.with_name(f"{path.stem}.{what}{end}") for what in _TABLES for end in _ENDS)):
        beside_it.unlink(missing_ok=True)


def _end_of(file: Path | None) -> str:
    end = file.suffix.lower() if file is not None else ""
    return end if end in _ENDS else ".txt"


def name_files(path: Path, files: dict[str, str]) -> None:
    """Write into a site file which files were brought for it; all else stays as it was."""
    text = read_text(path, "site")
    document = parsed(text, str(path))
    for what, name in files.items():
        table_in(document, [_TABLES[what]])[what] = name
    if (after := tomlkit.dumps(document)) != text:
        write_whole(path, after)


def sites_in(folder: Path) -> list[Path]:
    """Site files under a folder, by name."""
    return sorted((folder / FOLDER).glob("*.toml")) if (folder / FOLDER).is_dir() else []


def check_site(path: Path, rules: Rules) -> tuple[Site, Survey | None]:
    """A site with all it names looked up and its files read, as a job would. Raises InputError."""
    site, document = read_site(path)
    tables: dict[str, Any] = {key: value for key, value in document.data.items() if key in _OF_A_JOB}
    ground = tables.get("ground", {})
    if "soil" not in ground and "survey" not in ground:
        tables["ground"] = {**ground, "soil": NOT_KNOWN}
    some_work = {"title": site.name, "task": {"kind": next(iter(rules.work))}}
    job = job_of(replace(document, data={**some_work, **tables}), rules)
    for name in (site.weather.past, site.weather.forecast):
        if name is not None:
            read_weather(path.parent / name, site.weather, job.country, rules)
    return site, job.ground.mapped


def check_position(at: str | None) -> None:
    """Raise InputError where a position on the command line is none."""
    try:
        if at is not None:
            read_position(at)
    except WrongError as error:
        raise InputError([Said("fault.position_option", read=at or "")]) from error
