"""Contacts at work: the current each carries, what it switches, and how its rating reads."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from math import hypot

from msgspec import Struct

from wiring.circuit.model import Inner
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.supply.levels import highest_at
from wiring.design.supply.rail_levels import Level
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Switch
from wiring.parts.motors import Motor
from wiring.parts.protection import Disconnector
from wiring.parts.signals import IoCard
from wiring.parts.switching import Contactor
from wiring.rulebooks.steps import CONTACTOR_A, SWITCH_A

_CATEGORY = re.compile(r"\b((?:AC|DC)-\d+[a-z]?)\b")
_AMPS = re.compile(r"(\d+(?:\.\d+)?)\s*A\b")
_VOLTS = re.compile(r"(\d+(?:\.\d+)?)\s*V\b")
_CODE = re.compile(r"\b([A-ENPQR](?:150|[36]00)(?:\s*/\s*[A-ENPQR](?:150|[36]00))?)\b")


class ContactRating(Struct, frozen=True):
    """A rating as printed: category, current [A], voltage [V], or a code (A300, A600/Q600); None for what is absent."""

    category: str | None
    amps: float | None
    volts: float | None
    code: str | None


def read_rating(text: str) -> ContactRating:
    """`DC-13 2 A 24 V`, `A300` and the like."""
    category, amps, volts, code = (p.search(text) for p in (_CATEGORY, _AMPS, _VOLTS, _CODE))
    return ContactRating(
        category[1] if category else None,
        float(amps[1]) if amps else None,
        float(volts[1]) if volts else None,
        code[1] if code else None,
    )


def contact_steps(part: Part) -> tuple[float, ...]:
    """The rated currents that contactors and main switches are sold with [A]; none for other contacts."""
    match part.data:
        case Contactor():
            return CONTACTOR_A
        case Disconnector():
            return SWITCH_A
    return ()


class ContactUse(Struct, frozen=True):
    """A contact with the largest current through it in any state and the level that it breaks."""

    path: Inner
    switch: Switch
    amps: float
    state: str
    level: Level | None
    inductive: bool
    motor: str


def _currents(machine: Machine, operation: Operation) -> Mapping[str, tuple[float, str]]:
    worst: dict[str, tuple[float, str]] = {}
    names = [path.id for path in machine.circuit.inner if isinstance(path.element, Switch)]
    for state, point in operation.loaded.items():
        dc, ac = point.path_current("DC"), point.path_current("AC")
        for name in names:
            amps = hypot(abs(dc.get(name, 0.0)), abs(ac.get(name, 0.0)))
            if amps > worst.get(name, (-1.0, ""))[0]:
                worst[name] = (amps, state)
    return worst


def contact_uses(machine: Machine, operation: Operation) -> Iterator[ContactUse]:
    """Every wired contact that an actuator of a part moves; transistor outputs are no contacts."""
    currents = _currents(machine, operation)
    nets = machine.nets
    coils = {
        nets.of[part.name, end]
        for part, e in machine.circuit.elements(Coil)
        if isinstance(e, Coil) and e.inductive
        for end in (e.a, e.b)
    }
    driven = machine.axes.driven_alone
    motors = {
        nets.of[part.name, terminal]: part.name
        for part in machine.parts.values()
        if isinstance(part.data, Motor) and part.name not in driven
        for terminal in part.terminals
        if terminal != "PE"
    }
    for path in machine.circuit.inner:
        switch = path.element
        if not isinstance(switch, Switch) or not {path.a, path.b} <= nets.joined:
            continue
        if switch.actuator.startswith("output ") and isinstance(machine.parts[path.part].data, IoCard):
            continue
        amps, state = currents.get(path.id, (0.0, ""))
        ends = {nets.of[path.a], nets.of[path.b]}
        levels = [level for end in (path.a, path.b) if (level := highest_at(machine, end))]
        level = max(levels, key=lambda lv: (lv.volts, lv.source), default=None)
        poled = {net for net in ends if nets.poles_at.get(net)}
        motor = next((motors[net] for net in sorted(ends) if net in motors), "")
        yield ContactUse(path, switch, amps, state, level, bool((ends - poled) & coils), motor)
