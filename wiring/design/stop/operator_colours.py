"""What the buttons of stops do, and their colours."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set

from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.design.nets import Net
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Switch
from wiring.parts.operators import EmergencyStop, PushButton
from wiring.plan.colours import colour_name, read_colour
from wiring.plan.fault import Refusal


def button_functions(design: Design) -> dict[str, tuple[str, ...]]:
    """What each button does that a stop names, or that starts or stops a coil that holds itself; one that stops and
    resets counts as a stop."""
    held = _held(design)
    found = {name: [function] for name, function in _named_by_stops(design).items()}
    for function, buttons in (("stop", _breaking(design, held)), ("start", _starts(design, held))):
        for name in buttons:
            known = found.setdefault(name, [])
            if function not in known and "emergency stop" not in known:
                known.append(function)
    return {name: tuple(functions) for name, functions in found.items()}


def _named_by_stops(design: Design) -> dict[str, str]:
    found: dict[str, str] = {}
    for stop in design.plan.stops.values():
        for name in (*stop.devices, *((stop.reset,) if stop.reset else ())):
            part = design.parts.get(name)
            if part is None:
                continue
            if isinstance(part.data, EmergencyStop):
                found[name] = "emergency stop"
            elif isinstance(part.data, PushButton) and found.get(name) != "stop":
                function = "stop" if name in stop.devices else "reset"
                found[name] = "hold-to-run" if name in design.circuit.hold_to_run else function
    return found


#: The points that the current of a coil passes which holds itself, with the two ends of the contact that holds it.
Held = Sequence[tuple[Set[Net], frozenset[Net]]]


def _held(design: Design) -> Held:
    passed = _nets_before_coils(design)
    makes = ((nets, passed.get((part.name, moved), set())) for part, nets, moved in _contacts(design, at_rest=False))
    return [(way, nets) for nets, way in makes if nets <= way]


def _starts(design: Design, held: Held) -> Iterator[str]:
    """The buttons that a contactor goes on for: a make contact of it lies across that of the button and holds it."""
    holding = {nets for _, nets in held}
    for part, nets, _ in _contacts(design, at_rest=False):
        if isinstance(part.data, PushButton) and nets in holding:
            yield part.name


def _breaking(design: Design, held: Held) -> Iterator[str]:
    """The buttons whose break contact lies on the way to a coil that holds itself."""
    for part, nets, _ in _contacts(design, at_rest=True):
        if isinstance(part.data, PushButton) and any(nets <= way for way, _ in held):
            yield part.name


def _nets_before_coils(design: Design) -> dict[tuple[str, str], set[Net]]:
    """By what a coil moves the points that its current passes to it and back, other contacts among them."""
    found: dict[tuple[str, str], set[Net]] = {}
    paths = design.short_circuits.paths
    for part, coil in design.circuit.elements(Coil):
        assert isinstance(coil, Coil)
        passed = found.setdefault((part.name, coil.moves), set())
        for end in (coil.a, coil.b):
            for walk in (paths.hot, paths.returns):
                node: Node | None = (part.name, end)
                while node is not None and node in walk:
                    passed.add(design.nets.of[node])
                    node = walk[node].before
    return found


def _contacts(design: Design, *, at_rest: bool) -> Iterator[tuple[Part, frozenset[Net], str]]:
    """Every contact that is closed at rest, or open, with the two points that it joins, and what moves it."""
    for part, contact in design.circuit.elements(Switch):
        if isinstance(contact, Switch) and contact.closed_at_rest == at_rest:
            ends = (design.nets.of[part.name, contact.a], design.nets.of[part.name, contact.b])
            yield part, frozenset(ends), contact.actuator


def colour_code(colour: str) -> str:
    """The code of a colour that the plan names; what it says where no code fits."""
    try:
        return read_colour(colour)
    except Refusal:
        return colour


def colour_words(colour: str) -> str:
    """The name of a colour in words; what the plan says where it has none."""
    code = colour_code(colour)
    try:
        return colour_name(code)
    except ValueError:
        return colour
