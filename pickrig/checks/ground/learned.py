"""What the log of the yard does to strength and to what a machine needs of it."""

from math import exp

from pickrig.inputs import Job


def by_log(job: Job) -> float:
    """Factor on every draw's strength; 1 where the log says nothing of this ground.

    The middle moves and the spread stays: what an answer leaves uncertain, 0.25 to 0.8 of the logarithm, is about what
    differs from day to day, which no log takes away. Tried on invented yards, every narrower spread told the next
    outcome worse (rules/method.md).
    """
    return 1.0 if job.learned is None else exp(job.learned.ground.get(job.ground.soil or "", 0.0))


def by_log_machine(job: Job, name: str) -> float:
    """Factor on the strength one machine needs."""
    return 1.0 if job.learned is None else exp(-job.learned.machines.get(name, 0.0))
