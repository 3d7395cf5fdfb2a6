"""A contact can part a running drive from its motor.

Stepper drives, servo drives and inverters are damaged when their output opens under current: the energy in the winding
drives the output stage beyond its voltage. The power is taken away in front of the drive, or by its safe torque off.

Fires on screw-axis at K1
    parts.K1={kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
    wires+={wire: 12, from: D1:A+, to: K1:13, type: rail}
    C21.join.1=[K1:14, M1:A+]
Quiet
    12=
    C21.join.1=[D1:A+, M1:A+]
Not judged
    Plugs between drive and motor: pull them only with the power off.
Known limits
    A contact that opens only after the drive is disabled is not told from another: accept it with that reason.
"""

from __future__ import annotations

from collections import deque

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.rewiring import past, removed
from wiring.findings import Cause, Mend
from wiring.parts.base import Part
from wiring.parts.elements import Function, Pole, Switch
from wiring.plan.edits import Edit
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="motor-switched-while-driven",
    title="Contact between a drive and its motor",
    signal=Signal.CAUTION,
    harm="Opening it under current kills the drive's output stage; the axis then runs or falls without control.",
    sources=(("both", trade_practice("drive makers' manuals")),),
)


def _between(design: Design, drive: Part) -> dict[str, Conductor | None]:
    """The parts whose contacts or poles lie behind the outputs of a drive, each with the conductor that leads to it."""
    queue: deque[tuple[tuple[str, str], Conductor | None]] = deque(
        ((drive.name, t.name), None) for t in drive.terminals.values() if t.function is Function.MOTOR
    )
    seen = {node for node, _ in queue}
    found: dict[str, Conductor | None] = {}
    while queue:
        node, last = queue.popleft()
        for edge in design.circuit.edges_at[node]:
            far = edge.b if edge.a == node else edge.a
            if far in seen or is_earth_point(design.circuit, far):
                continue
            if not isinstance(edge, Conductor) and isinstance(edge.element, Switch | Pole):
                found.setdefault(edge.part, last)
            seen.add(far)
            queue.append((far, edge if isinstance(edge, Conductor) else last))
    return found


def check(design: Design) -> Judgements:
    """The way from every drive to its motors."""
    for axis in design.axes.values():
        if not axis.motors:
            continue
        motors = ", ".join(motor.name for motor in axis.motors)
        for name, conductor in sorted(_between(design, axis.drive).items()):
            if name == axis.drive.name:
                continue
            yield RULE.finding(
                (name, axis.drive.name, *(motor.name for motor in axis.motors)),
                f"{name} lies between {axis.drive.name} and {motors} and can open while the drive feeds it",
                conductor.place if conductor else design.place(name),
                because=[Cause(design.place(name), "the contact")],
                mend=(
                    Mend(
                        f"Take {name} out of the motor conductors and let it cut the supply of {axis.drive.name}, "
                        "or its safe torque off.",
                        _taken_out(design, name),
                    ),
                ),
            )


def _taken_out(design: Design, name: str) -> tuple[Edit, ...]:
    """The motor conductors led past a part, and the part out of the plan where nothing else is joined to it."""
    found: list[Edit] = []
    ends: list[Node] = []
    for element in design.parts[name].of(Switch, Pole):
        assert isinstance(element, Switch | Pole)
        pair = (name, element.a), (name, element.b)
        if all(design.circuit.conductors_at(end) for end in pair):
            edits = past(design, *pair)
            if not edits:
                return ()
            found += edits
            ends += pair
    return (*found, *removed(design, name, ends))
