"""JSON Schemas of the files people write, with which an editor completes and checks them."""

import json
from typing import Any

from pydantic import BaseModel

from pickrig.inputs.board import BoardFile
from pickrig.inputs.fleet import FleetFile
from pickrig.inputs.job import WORDED_TESTS, Job
from pickrig.inputs.site import Site
from pickrig.inputs.year import YearFile
from pickrig.reading import SPELLINGS
from pickrig.rulebook import Rules

MODELS: dict[str, type[BaseModel]] = {"job": Job, "fleet": FleetFile, "day": BoardFile, "year": YearFile, "site": Site}


def schema_text(kind: str, rules: Rules) -> str:
    """The schema of a "job", "fleet", "day", "year" or "site" file as JSON text."""
    return json.dumps(schema_of(kind, rules), ensure_ascii=False, indent=2)


def schema_of(kind: str, rules: Rules) -> dict[str, Any]:
    """The schema as plain data: every key, its kind of value with an example, and the names the rules know."""
    schema = MODELS[kind].model_json_schema(mode="validation")
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": f"A pickrig {kind} file"}
    for (table, key), names in _names(rules).items():
        properties = (
            schema.get("$defs", {}).get(table, schema if table == schema_name(kind) else {}).get("properties", {})
        )
        if key in properties:
            properties[key] = {"anyOf": [{"enum": sorted(names)}, {"type": "string"}]}
    tables = [schema, *schema.get("$defs", {}).values()]
    for properties in (table["properties"] for table in tables if "properties" in table):
        properties |= {other: properties[key] for other, key in SPELLINGS.items() if key in properties}
    return schema


def schema_name(kind: str) -> str:
    """What the table at the top of a file is called."""
    return MODELS[kind].__name__


def _names(rules: Rules) -> dict[tuple[str, str], list[str]]:
    """The names of the rules that stand under a key of a table. Other texts are read too: names people also use."""
    named: dict[tuple[str, str], list[str]] = {
        ("Job", "country"): list(rules.countries),
        ("Task", "kind"): list(rules.work),
        ("Task", "attachment"): list(rules.attachments),
        ("Task", "goods"): list(rules.goods),
        ("Task", "material"): list(rules.cycles.materials),
        ("Ground", "soil"): [*(name for key, soil in rules.soils.items() for name in (key, soil.name)), "unknown"],
        ("Stretch", "surface"): list(rules.surfaces),
        ("Ground", "drainage"): list(rules.drainage),
        ("Ground", "cover"): list(rules.covers),
        ("Snow", "kind"): list(rules.snow.kinds),
        ("Snow", "under"): [*rules.snow.under, "unknown"],
        ("MachineEntry", "size_class"): list(rules.machine_classes),
    }
    tests = {("Ground", test): list(rules.field_tests[test].results) for test in WORDED_TESTS}
    return named | {place: names for place, names in tests.items() if names}
