"""Can it run the tool? Flow, pressure and power at the couplers against what the attachment asks, and how it joins "
"on."""

from dataclasses import dataclass

from pickrig.checks.carrying import GRAVITY, carry
from pickrig.checks.case import Case, need
from pickrig.checks.finding import Finding, Verdict
from pickrig.inputs import Job
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


def applies(job: Job, rules: Rules) -> bool:
    """Only where the attachment runs on oil."""
    return _tool(job, rules) is not None


def _tool(job: Job, rules: Rules) -> ToolHydraulics | None:
    attachment = job.task.attachment or rules.work[job.task.kind].attachment
    return rules.attachments[attachment]["compact"].hydraulics


def powers(case: Case) -> Finding:
    """Hydraulic power at the couplers over what the tool needs to work at its least. See `Finding`."""
    tool = case.rules.attachments[case.attachment][case.machine.frame].hydraulics
    assert tool is not None  # `applies` asks it of no other
    supply = _supply(case, tool)
    usable = min(float(hydraulics.hydraulic_power(supply.flow, supply.pressure)), _engine(case))
    least = float(hydraulics.hydraulic_power(tool.flow_gpm[0] * GPM, tool.pressure_psi[0] * PSI))
    faults, cautions = _faults(case, tool, supply, usable, least), _cautions(case, tool, supply)
    verdict: Verdict = "no-go" if faults else "caution" if cautions else "go"
    return Finding(
        check="powers",
        verdict=verdict,
        unit="ratio",
        value=usable / least,
        limit=1.0,
        margin=usable / least,
        says=_says(case, tool, supply, (*faults, *cautions)),
        working=()
        if case.brief
        else (_power_line(case, tool, supply, usable, least), *_cylinder(case), *_torque(case, tool)),
        sources=(
            *case.cite("hydraulic power"),
            case.rules.cite(case.rules.attachments[case.attachment][case.machine.frame]),
        ),
        depends_on=("task.attachment", "machine.auxiliary"),
        remedy="A smaller tool of its kind, or a machine with the flow for it." if verdict == "no-go" else "",
    )


def _supply(case: Case, tool: ToolHydraulics) -> _Supply:
    """The standard circuit where it is enough, else high flow where the machine has it."""
    aux = case.machine.auxiliary
    flow, pressure = need(aux.flow, "auxiliary.flow"), need(aux.pressure, "auxiliary.pressure")
    if flow < tool.flow_gpm[0] * GPM and aux.high_flow is not None:
        return _Supply(aux.high_flow, pressure, high=True)
    return _Supply(flow, pressure, high=False)


def _engine(case: Case) -> float:
    """Power the engine can spare for the couplers, W."""
    return case.rules.pull.oil_share.value * need(case.machine.power, "power")


def _faults(case: Case, tool: ToolHydraulics, supply: _Supply, usable: float, least: float) -> tuple[str, ...]:
    told = []
    if supply.flow < tool.flow_gpm[0] * GPM:
        told.append(
            f"it needs {_flow(case, tool.flow_gpm[0])} at the least, the couplers give {case.show(supply.flow, 'flow')}"
        )
    if supply.pressure < tool.pressure_psi[0] * PSI:
        wants = case.show(tool.pressure_psi[0] * PSI, "pressure")
        told.append(f"it works from {wants} on, the relief opens at {case.show(supply.pressure, 'pressure')}")
    if not told and usable < least:
        told.append(
            f"the engine spares {case.show(usable, 'power')} for oil, the tool wants {case.show(least, 'power')}"
        )
    if tool.case_drain and case.machine.auxiliary.case_drain is False:
        told.append("it needs a case-drain line, and this machine has none: its seals would blow")
    loading = carry(case)
    if loading.held > loading.share or loading.safe <= 0:
        weighs = case.show(loading.attachment.mass, "mass")
        told.append(
            f"its {weighs} out front take {loading.held:.0%} of what tips the machine, {loading.share:.0%} is allowed"
        )
    if case.machine.coupler == "its own":
        told.append("the machine's own coupler takes no tool with the universal plate without an adapter")
    return tuple(told)


def _cautions(case: Case, tool: ToolHydraulics, supply: _Supply) -> tuple[str, ...]:
    aux, told = case.machine.auxiliary, []
    loading = carry(case)
    if loading.held > case.rules.limits.lifts.comfort * loading.share:
        told.append(f"it is heavy for this machine: {loading.held:.0%} of what tips it, of {loading.share:.0%} allowed")
    if supply.flow > tool.flow_gpm[1] * GPM:
        told.append(f"more flow than its {_flow(case, tool.flow_gpm[1])}: turn it down, or it overspeeds and heats")
    if supply.pressure > tool.pressure_psi[1] * PSI:
        told.append(
            f"the relief opens above its {case.show(tool.pressure_psi[1] * PSI, 'pressure')}: ask for its own relief "
            "valve"
        )
    if tool.case_drain and aux.case_drain is None:
        told.append("it needs a case-drain line: see whether the machine has one")
    if tool.free_return and not aux.free_return:
        told.append(
            "its return wants a line of its own to the tank: back-pressure robs it of blows and blows its seals"
        )
    if tool.pins and aux.pins is None:
        told.append(f"it has a {tool.pins}-pin control plug: see what the machine has, pin-outs differ by maker")
    if tool.pins and aux.pins is not None and aux.pins < tool.pins:
        told.append(f"its {tool.pins}-pin control plug meets {aux.pins} pins: a harness or its own box is needed")
    if supply.high:
        told.append("it runs on high flow only")
    if tool.torque is not None and tool.torque > _turning_hold(case) / 2:
        told.append("an auger that bites can turn a machine this light")
    return tuple(told)


def _flow(case: Case, gpm: float) -> str:
    return case.show(gpm * GPM, "flow")


def _turning_hold(case: Case) -> float:
    """Moment that holds the machine against being turned on the spot, N m, on its least grippy surface."""
    loading, gear = carry(case), case.machine.gear
    hold = case.rules.pull.turning_hold.value
    weight = loading.mass * GRAVITY
    if gear == "tracks":
        return float(turning.track_turning_moment(weight, loading.base, hold))
    front, rear = (max(float(a), 0.0) for a in contact.axle_loads(weight, loading.base, loading.rear_share))
    return float(turning.wheel_turning_moment(front, rear, loading.base, hold))


def _says(case: Case, tool: ToolHydraulics, supply: _Supply, told: tuple[str, ...]) -> str:
    circuit = "on high flow" if supply.high else "on standard flow"
    low, high = (_flow(case, gpm) for gpm in tool.flow_gpm)
    lead = f"Its couplers give {case.show(supply.flow, 'flow')} at {case.show(supply.pressure, 'pressure')} {circuit}; "
    wants = f"a generic {case.attachment} takes {low} to {high}"
    return f"{lead}{wants}{': ' if told else '.'}{'; '.join(told)}{'.' if told else ''}"


def _power_line(case: Case, tool: ToolHydraulics, supply: _Supply, usable: float, least: float) -> str:
    return (
        f"power = flow x pressure: {case.show(supply.flow, 'flow')} x {case.show(supply.pressure, 'pressure')}, at "
        "most "
        f"{case.rules.pull.oil_share.value:.2f} of the engine = {case.show(usable, 'power')}; the tool at its least "
        f"{_flow(case, tool.flow_gpm[0])} x {case.show(tool.pressure_psi[0] * PSI, 'pressure')} = "
        f"{case.show(least, 'power')}"
    )


def _cylinder(case: Case) -> tuple[str, ...]:
    """Curling back pushes with the whole bore, dumping with what the rod leaves of it, or the other way round by "
    "linkage."""
    tilt = case.machine.tilt
    if tilt is None:
        return ()
    out, back = (tilt.count * float(f) for f in hydraulics.cylinder_force(tilt.bore, tilt.rod, tilt.pressure))
    return (
        f"tilt cylinders, {tilt.count} of bore {case.show(tilt.bore, 'small length')}, rod "
        f"{case.show(tilt.rod, 'small length')}: "
        f"extending {case.show(out, 'force')} on the whole bore, retracting {case.show(back, 'force')} on the ring "
        "the rod "
        f"leaves ({back / out:.0%}), less 5 to 10 % for back-pressure and friction",
    )


def _torque(case: Case, tool: ToolHydraulics) -> tuple[str, ...]:
    if tool.torque is None:
        return ()
    hold = _turning_hold(case)
    return (
        f"the auger twists back with up to {case.show(tool.torque, 'torque')}; lying still, the machine's own weight "
        "holds "
        f"about {case.show(hold, 'torque')} against being turned",
    )
