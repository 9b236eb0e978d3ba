"""Can it run the tool? Flow, pressure and power at the couplers against what the attachment asks; how it joins on."""

from dataclasses import dataclass

from pickrig.checks.carrying import GRAVITY, carry
from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.facts import Quantity, Ruled, Said, Statements, Step, number, small
from pickrig.inputs import Job
from pickrig.inputs.job import attachment_of
from pickrig.physics import contact, hydraulics, turning
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import ToolHydraulics

GPM = 231 * 0.0254**3 / 60
PSI = 6894.757293168


@dataclass(frozen=True)
class _Supply:
    """What the machine gives at its couplers, SI, on its standard or its high circuit."""

    flow: float
    pressure: float
    high: bool


@dataclass(frozen=True)
class _Wants:
    """What the tool takes, SI, each from the least to the most it stands."""

    flow: tuple[float, float]
    pressure: tuple[float, float]

    @property
    def least(self) -> float:
        """Power at its least, W."""
        return float(hydraulics.hydraulic_power(self.flow[0], self.pressure[0]))


def applies(job: Job, rules: Rules) -> bool:
    """Only where the attachment runs on oil."""
    return rules.attachments[attachment_of(job.task, rules)]["compact"].hydraulics is not None


def powers(case: Case) -> Finding:
    """Hydraulic power at the couplers over what the tool needs to work at its least. See `Finding`."""
    tool = case.tool.hydraulics
    assert tool is not None  # `applies` asks it of no other
    wants = _Wants(
        (tool.flow_gpm[0] * GPM, tool.flow_gpm[1] * GPM), (tool.pressure_psi[0] * PSI, tool.pressure_psi[1] * PSI)
    )
    supply = _supply(case, wants)
    usable = min(float(hydraulics.hydraulic_power(supply.flow, supply.pressure)), _engine(case))
    faults, cautions = _faults(case, tool, wants, supply, usable), _cautions(case, tool, wants, supply)
    verdict: Verdict = "no-go" if faults else "caution" if cautions else "go"
    return Finding(
        check="powers",
        verdict=verdict,
        unit="ratio",
        value=usable / wants.least,
        limit=1.0,
        margin=usable / wants.least,
        depends_on=("task.attachment", "machine.auxiliary"),
        account=lambda: Account(
            says=_says(case, wants, supply, verdict, (*faults, *cautions)),
            remedy=(Said("powers.mend"),) if verdict == "no-go" else (),
            working=(_power(case, wants, supply, usable), *_cylinder(case), *_torque(case, tool)),
            sources=(*case.cite("hydraulic power"), source(case.rules, case.tool)),
        ),
    )


def _supply(case: Case, wants: _Wants) -> _Supply:
    """The standard circuit where it is enough, else high flow where the machine has it."""
    aux = case.machine.auxiliary
    flow, pressure = need(aux.flow, "auxiliary.flow"), need(aux.pressure, "auxiliary.pressure")
    if flow < wants.flow[0] and aux.high_flow is not None:
        return _Supply(aux.high_flow, pressure, high=True)
    return _Supply(flow, pressure, high=False)


def _engine(case: Case) -> float:
    """Power the engine can spare for the couplers, W."""
    return case.rules.pull.oil_share.value * need(case.machine.power, "power")


def _faults(case: Case, tool: ToolHydraulics, wants: _Wants, supply: _Supply, usable: float) -> Statements:
    told = []
    if supply.flow < wants.flow[0]:
        told.append(Said("powers.little_flow", wants=_flow(wants.flow[0]), gives=_flow(supply.flow)))
    if supply.pressure < wants.pressure[0]:
        told.append(
            Said("powers.little_pressure", wants=_pressure(wants.pressure[0]), opens=_pressure(supply.pressure))
        )
    if not told and usable < wants.least:
        told.append(
            Said("powers.little_engine", spares=Quantity(usable, "power"), wants=Quantity(wants.least, "power"))
        )
    if tool.case_drain and case.machine.auxiliary.case_drain is False:
        told.append(Said("powers.no_drain"))
    loading = carry(case)
    if loading.held > loading.share or loading.safe <= 0:
        weighs = Quantity(loading.fitted, "mass")
        told.append(Said("powers.too_heavy", weighs=weighs, held=_share(loading.held), allowed=_share(loading.share)))
    if case.machine.coupler == "its own":
        told.append(Said("powers.coupler"))
    return tuple(told)


def _creeps(case: Case, tool: ToolHydraulics) -> list[Said]:
    """A tool that works its way along wants a machine that goes no faster: by the job's own rate, else the usual."""
    if tool.feed is None:
        return []
    task, slowest = case.job.task, case.machine.creep_speed
    feed = task.run_per_hour / 3600 if task.run_per_hour is not None else tool.feed
    if slowest is None:
        return [] if case.machine.hydrostatic else [Said("powers.creep_unknown")]
    fast = slowest > feed
    return [Said("powers.creeps", slowest=_pace(slowest), feed=_pace(feed))] if fast else []


def _pace(speed: float) -> Quantity:
    return Quantity(60 * speed, "length")


def _cautions(case: Case, tool: ToolHydraulics, wants: _Wants, supply: _Supply) -> Statements:
    aux, told = case.machine.auxiliary, []
    loading = carry(case)
    if loading.held > case.rules.limits.lifts.comfort * loading.share:
        told.append(Said("powers.heavy", held=_share(loading.held), allowed=_share(loading.share)))
    told += _creeps(case, tool)
    if supply.flow > wants.flow[1]:
        told.append(Said("powers.much_flow", most=_flow(wants.flow[1])))
    if supply.pressure > wants.pressure[1]:
        told.append(Said("powers.much_pressure", most=_pressure(wants.pressure[1])))
    if tool.case_drain and aux.case_drain is None:
        told.append(Said("powers.drain_unknown"))
    if tool.free_return and not aux.free_return:
        told.append(Said("powers.free_return"))
    if tool.pins and aux.pins is None:
        told.append(Said("powers.pins_unknown", pins=tool.pins))
    if tool.pins and aux.pins is not None and aux.pins < tool.pins:
        told.append(Said("powers.pins", pins=tool.pins, has=aux.pins))
    if supply.high:
        told.append(Said("powers.high_only"))
    if tool.torque is not None and tool.torque > _turning_hold(case) / 2:
        told.append(Said("powers.twists"))
    return tuple(told)


def _flow(flow: float) -> Quantity:
    return Quantity(flow, "flow")


def _pressure(pressure: float) -> Quantity:
    return Quantity(pressure, "pressure")


def _share(share: float) -> Quantity:
    return Quantity(share, "share")


def _turning_hold(case: Case) -> float:
    """Moment that holds the machine against being turned on the spot, N m, on its least grippy surface."""
    loading, gear = carry(case), case.machine.gear
    hold = case.rules.pull.turning_hold.value
    weight = loading.mass * GRAVITY
    if gear == "tracks":
        return float(turning.track_turning_moment(weight, loading.base, hold))
    front, rear = (max(float(a), 0.0) for a in contact.axle_loads(weight, loading.base, loading.rear_share))
    return float(turning.wheel_turning_moment(front, rear, loading.base, hold))


def _says(case: Case, wants: _Wants, supply: _Supply, verdict: Verdict, told: Statements) -> Statements:
    tool = Ruled(case.attachment)
    lead = Said({"go": "powers.runs", "caution": "powers.watch"}.get(verdict, "powers.not"), tool=tool)
    gives = Said(
        "powers.gives_high" if supply.high else "powers.gives",
        flow=_flow(supply.flow),
        pressure=_pressure(supply.pressure),
        tool=tool,
        low=_flow(wants.flow[0]),
        high=_flow(wants.flow[1]),
    )
    return (lead, *told, gives)


def _power(case: Case, wants: _Wants, supply: _Supply, usable: float) -> Step:
    return Step(
        "powers.power",
        Q=_flow(supply.flow),
        p=_pressure(supply.pressure),
        k=number(case.rules.pull.oil_share.value, 2),
        P_engine=Quantity(need(case.machine.power, "power"), "power"),
        Q_least=_flow(wants.flow[0]),
        p_least=_pressure(wants.pressure[0]),
        P_least=Quantity(wants.least, "power"),
        P=Quantity(usable, "power"),
    )


def _cylinder(case: Case) -> Statements:
    """Curling back pushes with the whole bore, dumping with what the rod leaves of it; or, by the linkage, the other
    way round."""
    tilt = case.machine.tilt
    if tilt is None:
        return ()
    out, back = (tilt.count * float(f) for f in hydraulics.cylinder_force(tilt.bore, tilt.rod, tilt.pressure))
    return (
        Step(
            "powers.cylinders",
            n=tilt.count,
            D=small(tilt.bore),
            d=small(tilt.rod),
            p=_pressure(tilt.pressure),
            F_out=Quantity(out, "force"),
            F_back=Quantity(back, "force"),
        ),
    )


def _torque(case: Case, tool: ToolHydraulics) -> Statements:
    if tool.torque is None:
        return ()
    twists, holds = Quantity(tool.torque, "torque"), Quantity(_turning_hold(case), "torque")
    return (Said("powers.torque", twists=twists, holds=holds),)
