"""Faults of conductors: broken, to earth, and two of them touching in one cable or one loom outside the cabinet."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from wiring.circuit.model import Circuit, Conductor, Node
from wiring.circuit.roles import function_of
from wiring.control.fault_record import EARTH, Fault
from wiring.parts.elements import Function

_CABINET = "conductors inside one enclosure wired to IEC 60204-1, ISO 13849-2 table D.4"
#: Where a part lies inside the one enclosure that table D.4 speaks of.
INSIDE_PLACES = ("cabinet", "door")


def conductor_faults(circuit: Circuit) -> Iterator[Fault]:
    """Every fault of wires and cores."""
    yield from _broken_or_earthed(circuit)
    yield from _core_faults(circuit)
    yield from _loom_faults(circuit)


def _broken_or_earthed(circuit: Circuit) -> Iterator[Fault]:
    for wire in circuit.conductors:
        if wire.kind == "shield":
            continue
        what = "core" if wire.kind == "core" else "wire"
        yield Fault(f"open:{wire.id}", "open", (wire.id,), f"{what} {wire.id} breaks", "D.4", opened=(wire.id,))
        if not any(function_of(circuit, end) is Function.PE for end in wire.ends):
            words = f"{what} {wire.id} touches earth"
            yield Fault(f"earth:{wire.id}", "earth", (wire.id,), words, "D.4", bridge=(wire.a, EARTH))


def _core_faults(circuit: Circuit) -> Iterator[Fault]:
    cables: dict[str, list[Conductor]] = {}
    for wire in circuit.conductors:
        if wire.kind == "core" and wire.cable:
            cables.setdefault(wire.cable, []).append(wire)
    for cores in cables.values():
        inside = all(_is_inside(circuit, end) for core in cores for end in core.ends)
        for first, second in combinations(cores, 2):
            yield Fault(
                f"cores:{first.id}+{second.id}",
                "cores",
                (first.id, second.id),
                f"cores {first.id} and {second.id} touch",
                "D.4",
                bridge=(first.a, second.a),
                excluded=_CABINET if inside else "",
            )


def _loom_faults(circuit: Circuit) -> Iterator[Fault]:
    """Two single wires that lie together outside the cabinet touch; inside it table D.4 leaves that out."""
    looms: dict[str, list[Conductor]] = {}
    for wire in circuit.conductors:
        if wire.kind not in ("core", "shield"):
            for loom in _looms_of(circuit, wire):
                looms.setdefault(loom, []).append(wire)
    for wires in looms.values():
        for first, second in combinations(wires, 2):
            names = (first.id, second.id)
            words = f"wires {first.id} and {second.id} touch"
            yield Fault(f"wires:{first.id}+{second.id}", "wires", names, words, "D.4", bridge=(first.a, second.a))


def _looms_of(circuit: Circuit, wire: Conductor) -> list[str]:
    """Where a wire lies with others outside the cabinet: its route there, else the way to each part outside."""
    route = circuit.plan.routes.get(wire.route or "")
    if route is not None and route.at not in INSIDE_PLACES:
        return [f"route {wire.route}"]
    return [f"way to {end[0]}" for end in wire.ends if not _is_inside(circuit, end)]


def _is_inside(circuit: Circuit, end: Node) -> bool:
    part = circuit.parts.get(end[0])
    return part is not None and part.data.at in INSIDE_PLACES
