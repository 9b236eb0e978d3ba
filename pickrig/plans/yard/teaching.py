"""How the ground, the machines and the hours of one yard lie off the books."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pickrig.inputs import Fleet, Job
from pickrig.inputs.learned import Learned, Wear
from pickrig.learning.ordinal import Array, Ints, Model, fit_offsets, log_chance, spread_left
from pickrig.learning.pace import fit_ratios
from pickrig.log.entry import BOGGED, TURNED_BACK, Entry
from pickrig.plans.yard.keys import WORST, Key, date_of, ground_keys, keys_of, outcome_of, pace_keys, place
from pickrig.plans.yard.record import Kept, Offset
from pickrig.rulebook import Rules

_YEAR = 365.25
_LOOKS = 12  # times that the log is learned anew to look whether it helps


@dataclass(frozen=True)
class Yard:
    """The entries of one log that stand. wear: of tracks or tyres by machine, from readings."""

    entries: tuple[Entry, ...]
    rules: Rules
    wear: tuple[tuple[str, Wear], ...] = ()

    @cached_property
    def outcomes(self) -> tuple[tuple[Entry, int], ...]:
        """What tells of the ground: sent or stayed out of, with the books' own margin from before."""
        told = ((entry, outcome_of(entry)) for entry in self.entries)
        return tuple((entry, outcome) for entry, outcome in told if outcome is not None)

    @cached_property
    def _keys(self) -> list[Key]:
        return sorted({key for entry, _ in self.outcomes for key in keys_of(entry)})

    @cached_property
    def model(self) -> Model:
        values = self.rules.learning
        names = {"spread": "day", "rut": "rut", "misreport": "misreport", "sees": "sees", "refuses": "refuses"}
        return Model(**{name: values[key].value for name, key in names.items()}, nerve=values["nerve"].value)

    def told(self, job: Job, machines: Iterable[str] = (), one_place: bool = True) -> Learned:
        """What it says of a job, for these machines. one_place: not of a kind of work, done at many places."""
        soils = {job.ground.soil or "", *(stretch.soil or "" for stretch in job.stretch)}
        most = self.rules.learning["most"].value
        offsets = {(one.of, one.name): one.middle for one in self.offsets}
        ground = {soil: sum(offsets.get(key, 0.0) for key in ground_keys(job, soil, one_place)) for soil in soils}
        ground = {soil: min(max(moved, -most), most) for soil, moved in ground.items() if moved}
        own = {name: offsets.get(("machine", name), 0.0) for name in machines}
        return Learned(ground, {n: b for n, b in own.items() if b}, self.hours(job), dict(self.wear))

    @cached_property
    def offsets(self) -> tuple[Offset, ...]:
        """Every offset that some outcome bears on."""
        if not self.outcomes:
            return ()
        rows, margins, outcomes, weights, priors = self._table(self._keys)
        at = fit_offsets(rows, margins, outcomes, weights, priors, self.model)
        left = spread_left(rows, margins + rows @ at, weights, priors, self.model)
        count = rows.sum(axis=0)
        return tuple(
            Offset(*key, float(at[k]), float(np.sqrt(left[k, k])), int(count[k])) for k, key in enumerate(self._keys)
        )

    @cached_property
    def last_day(self) -> str:
        """Of the newest entry."""
        return max((entry.day for entry in self.entries), default="")

    @cached_property
    def kept(self) -> tuple[Kept, ...]:
        """Of each word, and of the weather, what was said and what came."""
        told: dict[str, list[tuple[float, bool]]] = {}
        for entry, outcome in self.outcomes:
            word = next((name for of, name in keys_of(entry) if of == "word"), "")
            if word and entry.chance is not None and entry.sent == "yes" and entry.helped == "none":
                told.setdefault(word, []).append((entry.chance, outcome not in WORST))
        return tuple(
            Kept(word, len(ways), sum(chance for chance, _ in ways), sum(held for _, held in ways))
            for word, ways in sorted(told.items())
        )

    @cached_property
    def off(self) -> bool:
        """Whether the answers with the log have been the worse ones, job after job, each told before its outcome was
        known; looked at once there are enough jobs to tell."""
        if len(self.outcomes) < self.rules.learning["enough"].value:
            return False
        gains = self.gains
        if len(gains) < self.rules.learning["enough"].value / 2:  # the others are of other yards, or came first
            return False
        return bool(np.mean(gains) + np.std(gains) / np.sqrt(len(gains)) < 0)

    @cached_property
    def gains(self) -> Array:
        """Of one's own jobs, but for the first, how much better each outcome was told with the log up to some days
        before; learned anew every so many jobs, so that a long log takes no longer to look at."""
        own = sorted((e.day, e.entered, k) for k, (e, _) in enumerate(self.outcomes) if not e.origin)
        rows, margins, outcomes, weights, priors = self._table(self._keys)
        told: list[float] = []
        for block in np.array_split(np.array([k for *_, k in own], dtype=int), max(min(_LOOKS, len(own)), 1))[1:]:
            first = self.outcomes[block[0]][0].day
            known = [k for day, _, k in own if day < first]
            at = fit_offsets(rows[known], margins[known], outcomes[known], weights[known], priors, self.model)
            with_ = log_chance(outcomes[block], margins[block] + rows[block] @ at, self.model)
            told += (with_ - log_chance(outcomes[block], margins[block], self.model)).tolist()
        return np.array(told)

    def _table(self, keys: Sequence[Key]) -> tuple[Array, Array, Ints, Array, Array]:
        """Rows, the books' margins, outcomes, weights and priors."""
        rows = np.array([[float(key in own) for key in keys] for own in (keys_of(e) for e, _ in self.outcomes)])
        margins = np.log([entry.margin or 1.0 for entry, _ in self.outcomes])
        outcomes = np.array([outcome for _, outcome in self.outcomes], dtype=int)
        weights = self._weights([entry for entry, _ in self.outcomes])
        return rows, margins, outcomes, weights, np.array([self.prior(key) for key in keys])

    def prior(self, key: Key) -> float:
        """Spread of an offset before any job."""
        return float(self.rules.learning[key[0]].value)

    def _weights(self, entries: Sequence[Entry]) -> Array:
        """Less for old entries, for those of other yards, for what was only looked at, and for the second machine on
        one lot in one day, which met the same ground."""
        values = self.rules.learning
        together = Counter((place(entry), entry.day) for entry in entries)
        met = np.array([(1 + n) / (2 * n) for n in (together[place(entry), entry.day] for entry in entries)])
        shared = np.array([values["shared"].value if entry.origin else 1.0 for entry in entries])
        looked = np.array([values["looked"].value if entry.would_have else 1.0 for entry in entries])
        return np.asarray(self._fades(entries) * met * shared * looked)

    def _fades(self, entries: Sequence[Entry]) -> Array:
        """By its age against the newest entry of the log."""
        days = [date_of(entry.day) for entry in entries]
        ages = np.array([(max(days) - day).days / _YEAR for day in days])
        return np.asarray(0.5 ** (ages / self.rules.learning["fades"].value))

    @cached_property
    def _timed(self) -> tuple[tuple[Entry, float], ...]:
        """Entries that tell their hours by a clock we reckon by, over what we reckoned. Hours stuck, or with help, tell
        nothing of the pace."""
        expected = {"clock": "on_site", "meter": "expected"}
        told = []
        for entry in self.entries:
            reckoned = getattr(entry, expected.get(entry.hours_kind, ""), None) if not entry.origin else None
            went = entry.sent == "yes" and entry.outcome not in (BOGGED, TURNED_BACK)
            if went and entry.helped == "none" and entry.hours and reckoned:
                told.append((entry, entry.hours / reckoned))
        return tuple(told)

    @cached_property
    def pace(self) -> tuple[Offset, ...]:
        """What work takes against the books: the yard, each kind of work, each crew."""
        keys = sorted({key for entry, _ in self._timed for key in pace_keys(entry)})
        if not keys:
            return ()
        values, entries = self.rules.learning, [entry for entry, _ in self._timed]
        rows = np.array([[float(key in pace_keys(entry)) for key in keys] for entry in entries])
        ratios, errors = np.array([ratio for _, ratio in self._timed]), np.full(len(rows), values["pace_day"].value)
        priors = np.array([values[of].value for of, _ in keys])
        at, left = fit_ratios(rows, ratios, errors, self._fades(entries), priors)
        count = rows.sum(axis=0)
        return tuple(
            Offset(*key, float(at[k]), float(np.sqrt(left[k, k])), int(count[k])) for k, key in enumerate(keys)
        )

    def hours(self, job: Job) -> float:
        """What this kind of work takes against the books."""
        keys = (("pace", ""), ("pace_work", job.task.kind))
        return float(np.exp(sum(one.middle for one in self.pace if (one.of, one.name) in keys)))


def taught(job: Job, fleet: Fleet, yard: Yard | None, one_place: bool = True) -> Job:
    """The job with what the yard's log says of it; as it is without a log. one_place: as `Yard.told`."""
    if yard is None or not (yard.entries or yard.wear):
        return job
    if yard.off:
        return job.with_learned(Learned(hours=yard.hours(job), wear=dict(yard.wear)))
    return job.with_learned(yard.told(job, [machine.name for machine in fleet.machines], one_place))
