"""A fleet: the machines in the yard."""

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, ValidationError

from pickrig.errors import InputError, WrongError
from pickrig.facts import Said, Term, Value
from pickrig.inputs.fields import SI, FromFile, Name, Strict, Text
from pickrig.inputs.machine import Machine, MachineEntry
from pickrig.inputs.people import Person
from pickrig.inputs.transport import Trailer, Truck
from pickrig.reading import Document, check, nearest, read_toml, shorten
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Cited, MachineClass

_RATINGS = ("rated_capacity", "rated_operating_capacity", "operating_capacity", "roc", "rated_load", "capacity")
_MENDS = dict.fromkeys(_RATINGS, "mend.bare_rating") | {key: f"mend.{key}" for key in ("weight", "price")}


# Which kinds of machine a family of size classes (the word before the comma) is for.
_FAMILIES = {
    "stand-on": ("stand-on loader",),
    "wheeled": ("skid steer",),
    "tracked": ("tracked loader",),
    "articulated": ("articulated loader",),
}


class FleetFile(Strict):
    title: Annotated[Name, Field(examples=['"The yard"'])]
    note: Text = ""
    machine: Annotated[list[MachineEntry], Field(min_length=1, max_length=1000)]
    truck: list[Truck] = Field(default_factory=list, max_length=200)
    trailer: list[Trailer] = Field(default_factory=list, max_length=200)
    person: list[Person] = Field(default_factory=list, max_length=200)


class Fleet(FromFile):
    """The machines to choose from, gaps filled from their size classes, and the yard they stand in."""

    title: Name
    note: Text = ""
    machines: tuple[Machine, ...]
    trucks: tuple[Truck, ...] = ()
    trailers: tuple[Trailer, ...] = ()
    people: tuple[Person, ...] = ()

    @classmethod
    def of(
        cls,
        *machines: Machine,
        title: str = "Fleet",
        trucks: Sequence[Truck | dict[str, Any]] = (),
        trailers: Sequence[Trailer | dict[str, Any]] = (),
        people: Sequence[Person | dict[str, Any]] = (),
    ) -> "Fleet":
        """A fleet from Python. Trucks, trailers and people take the keys of a fleet file. Raises InputError where two
        machines have one name."""
        document = Document(Path("fleet"), "", {}, si=True)
        names = [machine.name.strip().lower() for machine in machines]
        for index, machine in enumerate(machines):
            twin = names.index(names[index])
            if twin != index:
                values = {"name": machine.name, "twin": str(twin + 1)}
                raise InputError(document.fault(("machine", index, "name"), "fault.machine_twice", **values))
        yard = {"trucks": trucks, "trailers": trailers, "people": people}
        return cls.model_validate({"title": title, "machines": machines, **yard}, context=SI).read_from(document)


def read_fleet(path: Path, rules: Rules) -> Fleet:
    """Read and check a fleet file, filling gaps from size classes. Raises InputError, one sentence a fault."""
    return fleet_of(read_toml(path, "fleet"), rules)


def fleet_of(document: Document, rules: Rules) -> Fleet:
    """The same from a text already parsed."""
    path = document.path
    if "task" in document.data and "machine" not in document.data:
        raise InputError([Said("fault.job_as_fleet", file=str(path))])
    entries = check(FleetFile, document, _MENDS)
    problems: list[Said] = []
    first: dict[str, int] = {}
    machines = []
    for index, entry in enumerate(entries.machine):
        here = ("machine", index)
        twin = first.setdefault(entry.name.strip().lower(), index)
        if twin != index:
            problems.append(document.fault((*here, "name"), "fault.machine_twice", name=entry.name, twin=str(twin + 1)))
        if entry.size_class is not None and entry.size_class not in rules.machine_classes:
            near = nearest(entry.size_class, list(rules.machine_classes), "known.classes")
            read = shorten(entry.size_class)
            problems.append(document.fault((*here, "size_class"), "fault.no_class", read=read, near=near))
            continue
        family = entry.size_class.split(",")[0] if entry.size_class else None
        if family in _FAMILIES and entry.kind not in _FAMILIES[family]:
            those = nearest("", _classes_for(entry.kind, rules), "known.those")
            read = shorten(entry.size_class)
            place = (*here, "size_class")
            problems.append(document.fault(place, "fault.class_of_other", read=read, kind=entry.kind, near=those))
            continue
        size = rules.machine_classes[entry.size_class] if entry.size_class else None
        if size is not None and (size.tracks is None) != (entry.tracks is None):
            gear = Term("tracks" if entry.tracks else "tyres")
            read = shorten(entry.size_class)
            problems.append(document.fault((*here, "size_class"), "fault.class_stands", read=read, gear=gear))
            continue
        for tool in set(entry.tool_widths) - set(rules.attachments):
            near = nearest(tool, list(rules.attachments), "known.attachment")
            problems.append(document.fault((*here, "tool_widths", tool), "fault.no_tool", near=near))
        if entry.over_tyres is not None and entry.tyres is None:
            problems.append(document.fault((*here, "over_tyres"), "fault.over_what"))
            continue
        try:
            machines.append(fill(entry, size).on_its_tracks())
        except ValidationError as error:
            problems.append(document.fault(here, "fault.against_class", what=_misfit(error)))
    problems += _yard_problems(document, entries, rules)
    if problems:
        raise InputError(problems)
    return Fleet(
        title=entries.title,
        note=entries.note,
        machines=tuple(machines),
        trucks=tuple(entries.truck),
        trailers=tuple(entries.trailer),
        people=tuple(entries.person),
    ).read_from(document)


def _yard_problems(document: Document, entries: FleetFile, rules: Rules) -> list[Said]:
    """Trucks, trailers and people of one name, tie-downs nobody rates, and machines that are not in the yard."""
    problems: list[Said] = []
    for kind in ("truck", "trailer", "person"):
        names = [one.name.strip().lower() for one in getattr(entries, kind)]
        problems += [
            document.fault((kind, i, "name"), f"fault.{kind}_twice")
            for i, name in enumerate(names)
            if name in names[:i]
        ]
    limits = list(rules.transport.tie_downs.limits)
    for i, trailer in enumerate(entries.trailer):
        if trailer.tie_down is not None and trailer.tie_down not in limits:
            near = nearest(trailer.tie_down, limits, "known.rated")
            read = shorten(trailer.tie_down)
            problems.append(document.fault(("trailer", i, "tie_down"), "fault.not_rated", read=read, near=near))
    names = [machine.name for machine in entries.machine]
    kinds = sorted({kind for family in _FAMILIES.values() for kind in family})
    for i, person in enumerate(entries.person):
        for run in person.runs or ():
            if run.lower() not in [name.lower() for name in (*names, *kinds)]:
                near = nearest(run, [*names, *kinds], "known.it_has")
                problems.append(document.fault(("person", i, "runs"), "fault.runs_what", read=shorten(run), near=near))
    return problems


def _classes_for(kind: str, rules: Rules) -> list[str]:
    return [name for name in rules.machine_classes if kind in _FAMILIES.get(name.split(",")[0], ())]


def fill(entry: MachineEntry, size: MachineClass | None) -> Machine:
    """The machine with what its file leaves open taken from its size class. Raises pydantic's ValidationError where
    the two do not go together."""
    given = {name: value for name, value in entry.model_dump().items() if value is not None}
    if size is None:
        frame = "stand-on" if entry.kind == "stand-on loader" else "compact"
        return Machine.model_validate({**given, "frame": frame}, context=SI)
    offered = size.model_dump(exclude={*Cited.model_fields, "frame"}, exclude_none=True)
    offered["power"] *= 1000
    if entry.tipping_load is not None and entry.kind != "articulated loader":
        offered.pop("rear_share")  # the machine's own tipping load says where its centre of gravity lies
    filled: list[str] = []
    for key, value in offered.items():
        if isinstance(value, dict):
            gaps = {k: v for k, v in value.items() if given[key][k] is None}
            given[key] |= gaps
            filled += [f"{key}.{k}" for k in gaps]
        elif key not in given:
            given[key] = value
            filled.append(key)
    return Machine.model_validate({**given, "frame": size.frame, "filled": tuple(filled)}, context=SI)


def _misfit(error: ValidationError) -> Value:
    """Which of a machine's figures contradict each other."""
    told = error.errors()[0].get("ctx", {}).get("error")
    return told.said.value("what") if isinstance(told, WrongError) else str(error.errors()[0]["msg"])
