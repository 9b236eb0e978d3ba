"""Send, best bet, or do not send yet: the instruction, what to have ready and when to stop, what to find out first."""

from pickrig.checks import CHECKS
from pickrig.checks.finding import Finding
from pickrig.facts import Chance, Ruled, Said, Statements, Term, small
from pickrig.inputs import Job
from pickrig.plans.pick.open_questions import open_questions
from pickrig.plans.pick.operator_limits import stop_rut
from pickrig.plans.pick.record import GroundHelp, Standing, TestWorth, Tier, TierName
from pickrig.plans.pick.stakes import Stakes, stakes
from pickrig.rulebook import Rules

_ORDER: tuple[TierName, ...] = ("send", "bet", "wait")


def tier_of(
    job: Job, pick: Standing | None, worth: tuple[TestWorth, ...], helps: tuple[GroundHelp, ...], rules: Rules
) -> Tier:
    """How firmly to send the pick; never more than a bet where its grip may fail, the ground carries for some hours
    only, it digs where nobody said that lines are marked, or a question the job leaves open could still say no."""
    tonight, at_stake = _tonight(worth), stakes(job, rules)
    if pick is None:
        return Tier("wait", tonight, at_stake.bet)
    ground, asked = _by_ground(pick.finding("floats").chance, at_stake), open_questions(job, pick, rules)
    doubts = [finding for finding in pick.findings if _may_fail(finding)]
    doubtful: TierName = (
        "bet" if doubts or any(one.digs_blind or one.term == Term("open_snow") for one in asked) else "send"
    )
    name = max(ground, doubtful, key=_ORDER.index)
    named = tuple(one.term for one in asked if one.term is not None)
    told = [Said("tier.find", what=named)] if named else []
    told += at_stake.says if pick.finding("floats").chance is not None else ()
    if name == "wait":
        told += [*tonight, *_with_help(pick, helps, at_stake)]
    elif name == "bet":
        told += _ready(job, pick, helps, rules, ground)
    told += [Said("tier.lawn")] if name != "wait" and _ruins_the_lawn(job, pick) else []
    return Tier(name, tuple(told), at_stake.bet)


def _by_ground(chance: float | None, at_stake: Stakes) -> TierName:
    if chance is None or chance >= at_stake.send:
        return "send"
    return "bet" if chance >= at_stake.bet else "wait"


def _may_fail(finding: Finding) -> bool:
    open_ = finding.verdict == "unknown" and CHECKS[finding.check].gates and finding.check != "produces"
    return open_ or (finding.verdict == "caution" and finding.check in ("grips", "floats"))


def _ready(job: Job, pick: Standing, helps: tuple[GroundHelp, ...], rules: Rules, ground: TierName) -> Statements:
    """What to have at hand, and the sign to stop at."""
    if pick.finding("floats").provided is not None:
        return (Said("tier.frost"),)
    if ground == "bet" or pick.finding("floats").verdict == "caution":
        laid = next((one.help for one in helps if one.machine == pick.name and one.enough and one.mass is None), None)
        ready = Said("tier.ready", help=laid) if laid is not None else Said("tier.ready_pull")
        return ready, Said("tier.stop_ruts", depth=small(stop_rut(job, rules)))
    slips = pick.finding("grips").verdict == "caution"
    return (Said("tier.stop_slips"),) if slips else ()


def _ruins_the_lawn(job: Job, pick: Standing) -> bool:
    """Whether what it does to finished turf has to be repaired."""
    harm = pick.finding("spares_surface").value
    return list(job.ground.travel) == ["turf"] and harm is not None and harm >= 2


def _tonight(worth: tuple[TestWorth, ...]) -> Statements:
    """The test that would tell most; none where no result would change what is sent."""
    best = max(worth, key=lambda one: one.changes, default=None)
    return () if best is None or best.changes == 0 else (Said("tier.tonight", test=Term(f"tonight_{best.test}")),)


def _with_help(pick: Standing, helps: tuple[GroundHelp, ...], at_stake: Stakes) -> Statements:
    """The first thing laid down that makes it worth going, or that none does."""
    own = [one for one in helps if one.machine == pick.name]
    enough = next((one for one in own if one.chance >= at_stake.bet), None)
    if enough is not None:
        return (Said("tier.with_help", help=Ruled(enough.help.text), chance=Chance(enough.chance, at_stake.bet)),)
    return (Said("tier.no_help"),) if own else ()
