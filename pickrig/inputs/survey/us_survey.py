"""The US soil survey at a point, as its public data service answers, or the same columns as a CSV.

Columns and units after the survey's own table descriptions (SSURGO metadata 2.3), read second-hand: shares and textures
in per cent of weight, water in per cent of volume, depths in cm, density in g/cm3, conductivity in micrometres per
second.
"""

import csv
import json
from collections import defaultdict
from io import StringIO
from pathlib import Path
from typing import Any

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.inputs.survey.profile import Component, Horizon, Survey, layers_of

NEEDED = {"compname", "comppct_r", "hzdept_r", "hzdepb_r"}
_MADE = ("urban land", "udorthents", "arents", "made land", "pits", "dumps", "fill", "cut and fill")
_CM, _PERCENT = 0.01, 0.01
_SIZES = {
    "hzdept_r": ("top", _CM),
    "hzdepb_r": ("bottom", _CM),
    "sandtotal_r": ("sand", _PERCENT),
    "claytotal_r": ("clay", _PERCENT),
    "om_r": ("organic", _PERCENT),
    "dbthirdbar_r": ("density", 1000.0),
    "wthirdbar_r": ("capacity", _PERCENT),
    "wfifteenbar_r": ("wilting", _PERCENT),
    "wsatiated_r": ("saturation", _PERCENT),
    "ksat_r": ("conductivity", 1e-6),
}
_ENDS = {"top": (0, 5), "bottom": (0, 5), "density": (100, 2200), "conductivity": (0, 1e-2)}  # SI

Record = dict[str, str | None]


def is_answer(data: Any) -> bool:
    """Whether JSON is an answer of the service, with soil or without."""
    return isinstance(data, dict) and (data == {} or "Table" in data)


def is_table(text: str) -> bool:
    """Whether it is a CSV of the same columns."""
    header = next(csv.reader(StringIO(text)), [])
    return {cell.strip().lower() for cell in header} >= NEEDED


def read_answer(path: Path, data: Any) -> Survey:
    """Raises InputError: no soil at the point, columns that lack, a number out of reach."""
    try:
        if not data.get("Table"):
            raise InputError([Said("fault.survey_empty", file=str(path))])
        header, *rows = [[None if c is None else str(c) for c in row] for row in data.get("Table", [[]])]
    except (TypeError, ValueError) as error:
        raise InputError([Said("fault.survey_broken", file=str(path))]) from error
    rows = [row for row in rows if not any((cell or "").startswith("ColumnOrdinal") for cell in row)]
    return _survey(path, [dict(zip((str(name).lower() for name in header), row, strict=False)) for row in rows])


def read_columns(path: Path, text: str) -> Survey:
    """The same from a CSV."""
    rows = [{str(k).strip().lower(): v for k, v in row.items()} for row in csv.DictReader(StringIO(text))]
    return _survey(path, rows)


def _survey(path: Path, rows: list[Record]) -> Survey:
    if not rows:
        raise InputError([Said("fault.survey_empty", file=str(path))])
    lacking = sorted(NEEDED - set(rows[0]))
    if lacking:
        raise InputError([Said("fault.survey_lacks", file=str(path), names=tuple(lacking))])
    by_component: dict[str, list[Record]] = defaultdict(list)
    for row in rows:
        if row.get("compname"):
            by_component[row.get("cokey") or f"{row['compname']} {row.get('comppct_r')}"].append(row)
    components = tuple(_component(path, own) for own in by_component.values())
    if not components:
        raise InputError([Said("fault.survey_empty", file=str(path))])
    first = rows[0]
    unit = first.get("muname") or ""
    named = [unit, *(component.name for component in components)]
    made = any(word in name.lower() for name in named for word in _MADE)
    table = _number(path, "wtdepannmin", first.get("wtdepannmin"))
    return Survey(
        "survey", unit, components, path, None if table is None else table * _CM, first.get("flodfreqdcd") or "", made
    )


def _component(path: Path, rows: list[Record]) -> Component:
    first = rows[0]
    share = (_number(path, "comppct_r", first.get("comppct_r")) or 0.0) * _PERCENT
    if not 0 <= share <= 1:
        raise InputError([Said("fault.survey_odd", file=str(path), name="comppct_r", read=str(first["comppct_r"]))])
    is_soil = first.get("compkind") != "Miscellaneous area"
    layers = layers_of([h for row in rows if (h := _horizon(path, row)) is not None]) if is_soil else ()
    return Component(first.get("compname") or "", share, (first.get("drainagecl") or "").lower(), layers)


def _horizon(path: Path, row: Record) -> Horizon | None:
    told = {key: _number(path, key, row.get(key)) for key in _SIZES}
    if told["hzdept_r"] is None or told["hzdepb_r"] is None:
        return None
    values: dict[str, Any] = {
        name: value * size for key, (name, size) in _SIZES.items() if (value := told[key]) is not None
    }
    for name, value in values.items():
        low, high = _ENDS.get(name, (0.0, 1.0))
        if not low <= value <= high:
            raise InputError([Said("fault.survey_odd", file=str(path), name=name, read=f"{value:g}")])
    if values["top"] >= values["bottom"]:
        raise InputError([Said("fault.survey_odd", file=str(path), name="hzdepb_r", read=str(row["hzdepb_r"]))])
    return Horizon(**values, group=(row.get("unifiedcl") or "").strip().upper())


def _number(path: Path, name: str, text: str | None) -> float | None:
    if text is None or not str(text).strip():
        return None
    try:
        return float(text)
    except ValueError as error:
        raise InputError([Said("fault.survey_odd", file=str(path), name=name, read=str(text))]) from error


def read_survey(path: Path, text: str) -> Survey | None:
    """Either; None where it is neither. A page that says the service is down is told as that."""
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        if is_table(text):
            return read_columns(path, text)
        if "maintenance" in text.lower() and len(text) < 2000:
            raise InputError([Said("fault.survey_down", file=str(path))]) from None
        return None
    return read_answer(path, data) if is_answer(data) else None
