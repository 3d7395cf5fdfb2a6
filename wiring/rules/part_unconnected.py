"""A part of the plan is joined to nothing.

A stop device, a guard, a limit, a level or pressure switch or a brake that nobody wired protects nobody; a motor or
heater that is not wired, a fan in a cabinet that counts on one, and what a state names, was forgotten. Anything else
without a conductor is a NOTICE. Bars, terminals, plugs and metalwork do not count.

Fires on sorting-gate at B3
    parts.B3={kind: limit-switch, contacts: {11-12: NC}}
Quiet
    wires+={wire: 35, from: X1:8, to: B3:11, type: control}
    wires+={wire: 36, from: B3:12, to: X1:7, type: control}
Not judged
    Parts that act without wires, such as a mechanical brake: leave them out of the plan.
"""

from __future__ import annotations

from wiring.parts.base import Part
from wiring.parts.heating import ThermalCutOut
from wiring.parts.loads import Fan
from wiring.parts.motors import Brake
from wiring.parts.operators import EmergencyStop, FloatSwitch, Guarding, LimitSwitch, PressureSwitch
from wiring.parts.passive import Connector, EarthBar, Metalwork, Terminals
from wiring.parts.protection import ResidualCurrentDevice
from wiring.parts.switching import SafetyRelay
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="part-unconnected",
    title="Part is joined to nothing",
    signal=Signal.CAUTION,
    harm="What the part is there for does not happen, and the plan reads as if it did.",
    sources=(("iec", iec_60204("17.2")), ("na", nfpa_79("17.1"))),
)
_PASSIVE = (Terminals, Connector, EarthBar, Metalwork)
_SAFEGUARDS = (
    EmergencyStop,
    Guarding,
    LimitSwitch,
    FloatSwitch,
    PressureSwitch,
    SafetyRelay,
    Brake,
    ResidualCurrentDevice,
    ThermalCutOut,
)


def _matters(design: Design, part: Part) -> bool:
    """Whether the machine is another one without it, a safeguard, a motor or a process load, and nobody else tells that
    it is missed: a device of a stop is judged with that stop."""
    told = {device for stop in design.plan.stops.values() for device in stop.devices}
    missed = part.data.is_hazard() and bool(design.circuit.conductors)
    worked = any(part.name in entries for entries in design.plan.states.values())
    enclosure = design.plan.enclosure
    inside = isinstance(part.data, Fan) and part.data.at in ("cabinet", "door")
    cools = inside and enclosure is not None and enclosure.fan is not None
    return (isinstance(part.data, _SAFEGUARDS) or missed or worked or cools) and part.name not in told


def check(design: Design) -> Judgements:
    """Every part without a conductor; those that matter one by one, the rest together."""
    wired = {end[0] for conductor in design.circuit.conductors for end in conductor.ends}
    bare = [p for p in design.parts.values() if p.name not in wired and not isinstance(p.data, _PASSIVE)]
    for part in bare:
        if _matters(design, part):
            yield _finding(design, [part], RULE.signal)
    rest = [part for part in bare if not _matters(design, part)]
    if rest and wired:
        yield _finding(design, rest, Signal.NOTICE)


def _finding(design: Design, parts: list[Part], signal: Signal) -> Judgement:
    names = ", ".join(part.name for part in parts)
    verb = "is" if len(parts) == 1 else "are"
    return RULE.finding(
        tuple(part.name for part in parts),
        f"{names} {verb} joined to nothing",
        design.place(parts[0].name),
        signal=signal,
        mend=(f"Wire {names}, or take {'it' if len(parts) == 1 else 'them'} out of the plan.",),
    )
