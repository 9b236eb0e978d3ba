"""What the user knows: job and fleet files, read, checked and turned into SI once."""

from pickrig.inputs.fleet import Fleet, read_fleet
from pickrig.inputs.job import Ground, Job, soft_share
from pickrig.inputs.job_file import read_job
from pickrig.inputs.machine import Machine, Tracks, Tyres
from pickrig.inputs.people import Person
from pickrig.inputs.transport import Trailer, Truck
from pickrig.inputs.weather import Day, Weather

__all__ = [
    "Day",
    "Fleet",
    "Ground",
    "Job",
    "Machine",
    "Person",
    "Tracks",
    "Trailer",
    "Truck",
    "Tyres",
    "Weather",
    "read_fleet",
    "read_job",
    "soft_share",
]
