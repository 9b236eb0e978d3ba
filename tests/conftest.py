"""What the tests share: the shipped rules, fleet and jobs, and ways to change one thing in them."""

import importlib
import pkgutil
import shutil
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

import pytest
from hypothesis import settings
from hypothesis.database import DirectoryBasedExampleDatabase, ReadOnlyDatabase
from pydantic import BaseModel

import pickrig
from pickrig.checks.ground.site import draw_site
from pickrig.facts import Chance, Quantity, Said
from pickrig.inputs import Fleet, Job, read_fleet, read_job
from pickrig.inputs.fields import SI
from pickrig.plans.pick.answer import DRAWS, pick
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.record import Recommendation, Standing
from pickrig.report.words.voice import ENGLISH
from pickrig.rulebook import Rules, load_rules

Model = TypeVar("Model", bound=BaseModel)
FINDS = Path(__file__).parent / "properties" / "finds"

# Timings are for benchmarks: a slow machine must not fail a property. The same examples are drawn on every machine, so
# that a change is judged by what it changes; `python -m tests.explore` draws others. What fails then stays in FINDS,
# where every run finds it.
_KEPT = DirectoryBasedExampleDatabase(FINDS)
settings.register_profile("fixed", deadline=None, database=ReadOnlyDatabase(_KEPT))
settings.register_profile("exploring", deadline=None, database=_KEPT, print_blob=True)
settings.load_profile("fixed")


def pytest_itemcollected(item: pytest.Item) -> None:
    """Fix what a property draws. Hypothesis's own ways to fix it, derandomize and a seed, would forget FINDS."""
    test = getattr(item, "obj", None)
    if getattr(test, "is_hypothesis_test", False) and item.config.getoption("--hypothesis-profile") != "exploring":
        test._hypothesis_internal_use_seed = 0


# Hypothesis draws on the constants of every module of ours that is loaded: load all, so that the order of the tests
# does not matter.
for _module in pkgutil.walk_packages(pickrig.__path__, "pickrig."):
    if not _module.name.endswith("__main__"):
        importlib.import_module(_module.name)

EXAMPLES = Path(__file__).parents[1] / "examples"
_SHORT = ("2016-", "2017-")  # a leap year and one that is none


@pytest.fixture(scope="session")
def rules() -> Rules:
    return load_rules()


@pytest.fixture(scope="session")
def fleet(rules: Rules) -> Fleet:
    return read_fleet(EXAMPLES / "fleet.toml", rules)


@pytest.fixture(scope="session")
def muddy_lot(rules: Rules) -> Job:
    return read_job(EXAMPLES / "muddy-lot.toml", rules)


@pytest.fixture
def edited(tmp_path: Path) -> Callable[..., Path]:
    """A copy of a shipped example with texts replaced; every text must be there, so that no edit is silently lost."""

    def edit(name: str, *replacements: tuple[str, str]) -> Path:
        text = (EXAMPLES / name).read_text(encoding="utf-8")
        for old, new in replacements:
            assert old in text, f"{old!r} is not in {name}"
            text = text.replace(old, new, 1)
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return edit


@pytest.fixture(scope="session")
def answers() -> dict[tuple[tuple[str, str], ...], Recommendation]:
    """What was answered already; an answer never changes."""
    return {}


@pytest.fixture
def answer_to(
    rules: Rules, fleet: Fleet, edited: Callable[..., Path], answers: dict[tuple[tuple[str, str], ...], Recommendation]
) -> Callable[..., Recommendation]:
    """The answer to the muddy lot with texts of the job file replaced."""

    def answer(*replacements: tuple[str, str], machines: Fleet = fleet) -> Recommendation:
        if machines is not fleet:
            return pick(read_job(edited("muddy-lot.toml", *replacements), rules), machines, rules)
        if replacements not in answers:
            answers[replacements] = pick(read_job(edited("muddy-lot.toml", *replacements), rules), fleet, rules)
        return answers[replacements]

    return answer


@pytest.fixture
def chances_on(rules: Rules, fleet: Fleet, edited: Callable[..., Path]) -> Callable[..., dict[str, float]]:
    """Each machine's chance that the muddy lot holds it, with texts of the job file replaced: the same draws as
    `answer_to`, and nothing else worked out."""

    def chances(*replacements: tuple[str, str]) -> dict[str, float]:
        return chances_of(read_job(edited("muddy-lot.toml", *replacements), rules), fleet, rules)

    return chances


def si(model: type[Model], **values: Any) -> Model:
    """A table of a file from numbers in SI, checked as a file is."""
    return model.model_validate(values, context=SI)


def english(said: Said | Iterable[Said]) -> str:
    """Statements in full, in English and in the units of the United States."""
    return ENGLISH.say(said)


def keys(said: Iterable[Said]) -> list[str]:
    """Which statements are made."""
    return [one.key for one in said]


def values(said: Iterable[Said], key: str) -> dict[str, Any]:
    """The values of the first statement with this key; of a quantity its number in SI."""
    found = next(one for one in said if one.key == key)
    return {name: value.value if isinstance(value, Quantity | Chance) else value for name, value in found.values}


def standings_of(job: Job, fleet: Fleet, rules: Rules, draws: int = DRAWS) -> list[Standing]:
    """The ranking alone, as `pick` has it."""
    return rank(job, fleet, rules, draw_site(job, rules, draws, seed=0), weigh(job, rules))


def chances_of(job: Job, fleet: Fleet, rules: Rules, draws: int = DRAWS) -> dict[str, float]:
    """Each machine's chance that the ground holds it."""
    return {s.name: s.finding("floats").chance for s in standings_of(job, fleet, rules, draws)}


@pytest.fixture(scope="session")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shipped year on two years of its record, with the jobs it names."""
    folder = tmp_path_factory.mktemp("yard")
    for path in EXAMPLES.iterdir():
        if path.suffix in (".toml", ".csv"):
            shutil.copy(path, folder)
    lines = (folder / "ten-years.csv").read_text(encoding="utf-8").splitlines()
    short = [line for line in lines if not line[:4].isdigit() or line.startswith(_SHORT)]
    (folder / "ten-years.csv").write_text("\n".join(short) + "\n", encoding="utf-8")
    return folder
