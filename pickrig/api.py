"""The face for Python: read or make jobs and fleets, ask, and get answers that show themselves."""

from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Any

from pickrig import inputs
from pickrig.checks.ground.draws import draw_luck
from pickrig.checks.ground.moisture import water_by_volume
from pickrig.checks.ground.soils import mapped_layers
from pickrig.errors import InputError
from pickrig.inputs import Fleet, Job, Machine
from pickrig.inputs.board import Board
from pickrig.inputs.board import read_board as _read_board
from pickrig.inputs.year import Year
from pickrig.inputs.year import read_year as _read_year
from pickrig.plans.buy.answer import buy
from pickrig.plans.buy.record import Purchase
from pickrig.plans.day.answer import day
from pickrig.plans.day.record import DayPlan
from pickrig.plans.pick.answer import DRAWS
from pickrig.plans.pick.answer import pick as _pick
from pickrig.plans.pick.record import Recommendation
from pickrig.plans.yard.beside import yard_of
from pickrig.plans.yard.teaching import Yard
from pickrig.quantities import System
from pickrig.report.buy.json import as_buy_dict
from pickrig.report.buy.page import as_buy_page
from pickrig.report.buy.terminal import as_buy_text
from pickrig.report.day.json import as_board_dict
from pickrig.report.day.page import as_board_page
from pickrig.report.day.terminal import as_board_text
from pickrig.report.pick.json import as_dict
from pickrig.report.pick.page import as_page
from pickrig.report.pick.sheet import as_sheet
from pickrig.report.pick.terminal import as_text
from pickrig.report.words.reader import voice_of
from pickrig.report.words.voice import Voice
from pickrig.rulebook import Rules, load_rules

__all__ = [
    "BuyAnswer", "DayAnswer", "Fleet", "Job", "Machine", "PickAnswer",
    "moisture", "pick", "plan_day", "plan_year", "read_day", "read_fleet", "read_job", "read_log", "read_year",
]  # fmt: skip


@dataclass(frozen=True, repr=False)
class _Answer:
    voice: Voice

    def to_dict(self) -> dict[str, Any]:
        """The record as plain data, as `--json` writes it."""
        raise NotImplementedError

    def page(self, language: str | None = None, units: System | None = None) -> str:
        """The whole page as HTML; in another language or other units where they are given."""
        raise NotImplementedError

    def text(self, language: str | None = None, units: System | None = None) -> str:
        """The short answer, as the terminal shows it."""
        raise NotImplementedError

    def _voice(self, language: str | None, units: System | None) -> Voice:
        own = self.voice
        return Voice(language or own.language, units or own.units, own.country, own.currency, own.paper)

    def _repr_html_(self) -> str:
        """The page in a frame of its own, so that its style stays its own."""
        return f'<iframe srcdoc="{escape(self.page())}" style="width:100%;height:45em;border:0"></iframe>'


@dataclass(frozen=True, repr=False)
class PickAnswer(_Answer):
    """Which machine for one job. record: the facts."""

    record: Recommendation

    def to_dict(self) -> dict[str, Any]:
        return as_dict(self.record, self.voice)

    def page(self, language: str | None = None, units: System | None = None) -> str:
        return as_page(self.record, self._voice(language, units))

    def text(self, language: str | None = None, units: System | None = None) -> str:
        return as_text(self.record, self._voice(language, units))

    def sheet(self, language: str | None = None, units: System | None = None) -> str:
        """The operator's hand-over sheet as HTML."""
        return as_sheet(self.record, self._voice(language, units))

    def __repr__(self) -> str:
        return f"<PickAnswer: {self.voice.say(self.record.answer[:2], 'line')}>"


@dataclass(frozen=True, repr=False)
class DayAnswer(_Answer):
    """Which machine to which of many jobs. record: the facts."""

    record: DayPlan

    def to_dict(self) -> dict[str, Any]:
        return as_board_dict(self.record, self.voice)

    def page(self, language: str | None = None, units: System | None = None) -> str:
        return as_board_page(self.record, self._voice(language, units))

    def text(self, language: str | None = None, units: System | None = None) -> str:
        return as_board_text(self.record, self._voice(language, units))

    def __repr__(self) -> str:
        return f"<DayAnswer: {self.voice.say(self.record.answer, 'line')}>"


@dataclass(frozen=True, repr=False)
class BuyAnswer(_Answer):
    """What to buy or rent for a year of work. record: the facts."""

    record: Purchase

    def to_dict(self) -> dict[str, Any]:
        return as_buy_dict(self.record, self.voice)

    def page(self, language: str | None = None, units: System | None = None) -> str:
        return as_buy_page(self.record, self._voice(language, units))

    def text(self, language: str | None = None, units: System | None = None) -> str:
        return as_buy_text(self.record, self._voice(language, units))

    def __repr__(self) -> str:
        return f"<BuyAnswer: {self.voice.say(self.record.answer, 'line')}>"


def read_job(path: str | Path, rules: Rules | None = None) -> Job:
    """A job file, checked. Raises InputError."""
    return inputs.read_job(Path(path), rules or load_rules())


def read_fleet(path: str | Path, rules: Rules | None = None) -> Fleet:
    """A fleet file, checked. Raises InputError."""
    return inputs.read_fleet(Path(path), rules or load_rules())


def read_day(path: str | Path, rules: Rules | None = None) -> Board:
    """A day file with the jobs it names. Raises InputError."""
    return _read_board(Path(path), rules or load_rules())


def read_year(path: str | Path, rules: Rules | None = None) -> Year:
    """A year file with the jobs and the weather it names. Raises InputError."""
    return _read_year(Path(path), rules or load_rules())


def read_log(path: str | Path, fleet: Fleet, rules: Rules | None = None) -> Yard | None:
    """What a log teaches, for `log` of the plans; None where it is empty. Raises InputError and OutputError."""
    return yard_of(Path(path), fleet, rules or load_rules(), Path(path))


def moisture(job: Job, *, rules: Rules | None = None, seed: int = 0, draws: int = 1000) -> dict[str, list[Any]]:
    """Water of the top two 6 in layers on every day of the job's weather: "date", and "upper" and "lower" with what a
    tenth, half and nine tenths of the draws stay under, m3/m3, a day a row. Raises InputError without weather or soil.
    """
    rules = rules or load_rules()
    if job.weather is None:
        raise InputError(job.fault(("weather",), "fault.no_weather"))
    named = rules.soils[job.ground.soil] if job.ground.soil else None
    upper, lower = mapped_layers(job, rules) or (named, named)
    if upper is None or upper.texture is None:
        raise InputError(job.fault(("ground", "soil"), "fault.no_balance"))
    return water_by_volume(upper, job, rules, draw_luck(draws, seed), below=lower if lower is not upper else None)


def pick(
    job: Job,
    fleet: Fleet,
    *,
    rules: Rules | None = None,
    language: str = "en",
    units: System | None = None,
    seed: int = 0,
    draws: int = DRAWS,
    log: Yard | None = None,
) -> PickAnswer:
    """Which of these machines for this job, and why; by the books alone without a log. Raises InputError where the
    fleet lacks what the job names."""
    rules = rules or load_rules()
    voice = voice_of(language, units, job.country, rules)
    return PickAnswer(voice, _pick(job, fleet, rules, seed=seed, draws=draws, yard=log))


def plan_day(
    board: Board,
    fleet: Fleet,
    *,
    rules: Rules | None = None,
    language: str = "en",
    units: System | None = None,
    seed: int = 0,
    log: Yard | None = None,
) -> DayAnswer:
    """Which of these machines to which job of the day. Raises InputError."""
    rules = rules or load_rules()
    return DayAnswer(voice_of(language, units, board.country, rules), day(board, fleet, rules, seed=seed, yard=log))


def plan_year(
    year: Year,
    fleet: Fleet,
    *,
    rules: Rules | None = None,
    language: str = "en",
    units: System | None = None,
    seed: int = 0,
    log: Yard | None = None,
) -> BuyAnswer:
    """Which of these machines to buy or rent for the year's work. Raises InputError."""
    rules = rules or load_rules()
    return BuyAnswer(voice_of(language, units, year.country, rules), buy(year, fleet, rules, seed=seed, yard=log))
