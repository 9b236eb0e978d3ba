"""The truck and trailer of a job, looked up in the fleet."""

from typing import TypeVar

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.inputs import Fleet, Job, Trailer, Truck
from pickrig.reading import nearest

Vehicle = TypeVar("Vehicle", Truck, Trailer)


def rig(job: Job, fleet: Fleet) -> tuple[Truck | None, Trailer | None]:
    """The truck and trailer the job names, from the fleet. Raises InputError where the fleet has none of that name."""
    if job.haul is None:
        return None, None
    truck = _named(job, job.haul.truck, fleet, fleet.trucks, "truck")
    return truck, _named(job, job.haul.trailer, fleet, fleet.trailers, "trailer")


def _named(job: Job, name: str, fleet: Fleet, vehicles: tuple[Vehicle, ...], what: str) -> Vehicle:
    for vehicle in vehicles:
        if vehicle.name.strip().lower() == name.strip().lower():
            return vehicle
    names = [vehicle.name for vehicle in vehicles]
    near = nearest(name, names, "known.it_has") if names else Said("known.none", table=what)
    raise InputError(job.fault(("haul", what), "fault.not_in", name=name, place=fleet.file, near=near))
