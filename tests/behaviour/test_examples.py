"""The other shipped jobs: the pick an operator would make."""

from pathlib import Path

import pytest

from pickrig.inputs import read_job
from tests.conftest import standings_of

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize(
    ("job", "kinds", "why"),
    [
        (
            "asphalt-yard.toml",
            {"skid steer", "articulated loader"},
            "on finished asphalt tracks wear and scuff for nothing: wheels",
        ),
        ("sealed-yard-july.toml", {"articulated loader"}, "hot sealed asphalt: the one that steers and rolls"),
        ("finished-turf.toml", {"stand-on loader"}, "a finished lawn: the lightest that does the work"),
        ("twenty-percent.toml", {"tracked loader"}, "loose fill up one in five: tracks"),
        ("fence-posts.toml", {"stand-on loader"}, "nothing else goes through a 48 in gate, nor on the small trailer"),
        (
            "load-out.toml",
            {"skid steer", "articulated loader"},
            "dry ground, trucks to load: wheels, and a reach over the side",
        ),
        ("paver-pallets-forks.toml", {"articulated loader"}, "2,200 lb on forks is more than any other may carry"),
        ("back-garden.toml", {"stand-on loader"}, "nothing else goes through a 42 in gate"),
        ("dry-sand.toml", {"tracked loader"}, "wheels dig in on loose dry sand: tracks"),
        ("ponding-silt.toml", {"tracked loader"}, "a ponding silt lot the morning after 1.5 in of rain: wide tracks"),
        ("muddy-lot.toml", {"tracked loader"}, "wet lean clay under loaded pallets: wide tracks"),
    ],
)
def test_the_pick_is_what_an_operator_would_send(rules, fleet, job, kinds, why):
    first = standings_of(read_job(EXAMPLES / job, rules), fleet, rules)[0]
    assert first.usable
    assert first.machine.kind in kinds, why


def test_every_example_says_it_is_invented():
    for path in EXAMPLES.glob("*.toml"):
        assert "Invented" in path.read_text(encoding="utf-8"), path
