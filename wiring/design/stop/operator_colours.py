"""What the buttons of stops do, and their colours."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.design.nets import Net
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Switch
from wiring.parts.operators import EmergencyStop, PushButton
from wiring.plan.colours import colour_name, read_colour
from wiring.plan.fault import Refusal


def button_functions(design: Design) -> dict[str, tuple[str, ...]]:
    """What each button does that a stop names, or that starts; one that stops and resets counts as a stop."""
    named, starts = _named_by_stops(design), set(_starts(design))
    return {
        name: tuple(one for one in (named.get(name), "start" if name in starts else None) if one)
        for name in {*named, *starts}
    }


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


def _starts(design: Design) -> Iterator[str]:
    """The buttons that a contactor goes on for: a make contact of it lies across that of the button and holds it."""
    passed = _nets_before_coils(design)
    holding = {
        nets for part, nets, moved_by in _make_contacts(design) if nets <= passed.get((part.name, moved_by), set())
    }
    for part, nets, _ in _make_contacts(design):
        if isinstance(part.data, PushButton) and nets in holding:
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


def _make_contacts(design: Design) -> Iterator[tuple[Part, frozenset[Net], str]]:
    """Every make contact with the two points that it joins, and what moves it."""
    for part, contact in design.circuit.elements(Switch):
        if isinstance(contact, Switch) and not contact.closed_at_rest:
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
