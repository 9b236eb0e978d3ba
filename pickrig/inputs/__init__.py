"""What the user knows: job and fleet files, read, checked and turned into SI once."""

from pickrig.inputs.fleet import Fleet, read_fleet
from pickrig.inputs.job import Job, read_job
from pickrig.inputs.machine import Machine, Tracks, Tyres

__all__ = ["Fleet", "Job", "Machine", "Tracks", "Tyres", "read_fleet", "read_job"]
