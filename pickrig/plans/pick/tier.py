"""Send, best bet, or do not send yet: the instruction, what to have ready and when to stop, what to find out first."""

from pickrig.checks import CHECKS
from pickrig.checks.finding import Finding
from pickrig.facts import Chance, Quantity, Ruled, Said, Statements, Term, small
from pickrig.inputs import Job
from pickrig.plans.pick.money import setting
from pickrig.plans.pick.operator_limits import stop_rut
from pickrig.plans.pick.record import GroundHelp, Standing, TestWorth, Tier, TierName
from pickrig.rulebook import Rules

_ORDER: tuple[TierName, ...] = ("send", "bet", "wait")


def tier_of(
    job: Job, pick: Standing | None, worth: tuple[TestWorth, ...], helps: tuple[GroundHelp, ...], rules: Rules
) -> Tier:
    """How firmly to send the pick: by the chance that the ground holds it, or by what bogging and waiting cost where
    the job says; never more than a bet where something else may fail it too, or stands open."""
    tonight = _tonight(worth)
    if pick is None:
        return Tier("wait", tonight)
    floats, costs = pick.finding("floats"), _costs(job, rules)
    grounds: list[TierName] = [_by_ground(floats.chance, costs, rules)]
    grounds += ["bet" for finding in pick.findings if _may_fail(finding)]
    name = max(grounds, key=_ORDER.index)
    told = [Said("tier.find", what=tuple(found))] if (found := _unknown(job, pick, rules)) else []
    told += [costs.says] if costs is not None and floats.chance is not None else []
    if name == "bet":
        told += _ready(job, pick, helps, rules)
    elif name == "wait":
        told += [*tonight, *_with_help(pick, helps)]
    return Tier(name, tuple(told))


class _Costs:
    """What a bogged machine costs against a day's wait, $, where the job gives either."""

    def __init__(self, job: Job, rules: Rules) -> None:
        self.waiting = setting(job, rules, "lost_half_day")
        self.bogging = setting(job, rules, "recovery") + self.waiting
        limits = rules.limits.tiers
        self.send, self.bet = (1 - share * self.waiting / self.bogging for share in (limits.risk_send, limits.risk_bet))

    @property
    def says(self) -> Said:
        return Said(
            "tier.costs",
            bogging=Quantity(self.bogging, "money"),
            waiting=Quantity(self.waiting, "money"),
            chance=Chance(self.bet),
        )


def _costs(job: Job, rules: Rules) -> _Costs | None:
    given = job.costs.recovery is not None or job.costs.lost_half_day is not None
    costs = _Costs(job, rules) if given else None
    return costs if costs is not None and costs.bogging > 0 else None


def _by_ground(chance: float | None, costs: _Costs | None, rules: Rules) -> TierName:
    if chance is None:
        return "send"
    limits = rules.limits
    send, bet = (costs.send, costs.bet) if costs is not None else (limits.floats.go, limits.tiers.bet)
    return "send" if chance >= send else "bet" if chance >= bet else "wait"


def _may_fail(finding: Finding) -> bool:
    """A grip that may fail, ground that carries for some hours only, or a question the job leaves open that could still
    say no."""
    open_ = finding.verdict == "unknown" and CHECKS[finding.check].gates and finding.check != "produces"
    return open_ or (finding.verdict == "caution" and finding.check in ("grips", "floats"))


def _unknown(job: Job, pick: Standing, rules: Rules) -> list[Term]:
    """What decides and nobody said: what lies under the way or the snow, the gate, the load."""
    digs = rules.work[job.task.kind].digs
    told = [Term(f"open_{f.check}") for f in pick.findings if f.verdict == "unknown" and f.check in ("fits", "lifts")]
    at_home = job.task.kind == "work behind a house" or "turf" in job.ground.travel
    return [
        *([Term("open_snow")] if job.snow is not None and job.snow.under is None else []),
        *([Term("open_services")] if digs and job.hazards.services is None else []),
        *([Term("open_septic")] if at_home and job.hazards.septic is None else []),
        *told,
    ]


def _ready(job: Job, pick: Standing, helps: tuple[GroundHelp, ...], rules: Rules) -> list[Said]:
    """What to have at hand, and the sign to stop at."""
    if pick.finding("floats").verdict != "caution":
        return [Said("tier.stop_slips")]
    laid = next((one.help for one in helps if one.machine == pick.name and one.enough and one.mass is None), None)
    ready = Said("tier.ready", help=laid) if laid is not None else Said("tier.ready_pull")
    return [ready, Said("tier.stop_ruts", depth=small(stop_rut(job, rules)))]


def _tonight(worth: tuple[TestWorth, ...]) -> Statements:
    """The test that would tell most; none where no result would change what is sent."""
    best = max(worth, key=lambda one: one.changes, default=None)
    return () if best is None or best.changes == 0 else (Said("tier.tonight", test=Term(f"tonight_{best.test}")),)


def _with_help(pick: Standing, helps: tuple[GroundHelp, ...]) -> list[Said]:
    """The first thing laid down that is enough for it."""
    enough = next((one for one in helps if one.machine == pick.name and one.enough), None)
    return (
        [] if enough is None else [Said("tier.with_help", help=Ruled(enough.help.text), chance=Chance(enough.chance))]
    )
