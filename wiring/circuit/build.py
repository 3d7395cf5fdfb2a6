"""Plan and parts joined into a circuit. Every reference that leads nowhere is a fault with its place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields

from wiring.circuit.model import Circuit, Conductor, Inner, Node
from wiring.parts.base import Part
from wiring.parts.elements import Link, Pole, Switch
from wiring.plan.fault import Fault, nearest
from wiring.plan.models import Cable, TerminalRef, Wire
from wiring.plan.read import Reading
from wiring.plan.segments import segments

_TERMINAL_FIELDS = ("a", "b", "plus", "minus", "terminal")


class _Builder:
    def __init__(self, reading: Reading, parts: Mapping[str, Part], faults: list[Fault]) -> None:
        self.reading = reading
        self.parts = parts
        self.faults = faults

    def node(self, ref: TerminalRef, path: tuple[str | int, ...]) -> Node | None:
        part = self.parts.get(ref.part)
        if part is None:
            return None  # an unknown part is reported once, by the reader or by the part itself
        if ref.terminal in part.terminals:
            return (ref.part, ref.terminal)
        known = list(part.terminals)
        self.faults.append(
            Fault(
                self.reading.place(*path),
                f"{ref.part} has no terminal {ref.terminal}",
                f"a terminal of {ref.part} ({part.kind}): {', '.join(known[:24])}{' …' if len(known) > 24 else ''}",
                near=nearest(ref.terminal, known),
            )
        )
        return None

    def wires(self) -> Iterator[Conductor]:
        for index, wire in enumerate(self.plan_wires()):
            for piece in segments(wire):
                a = self.node(piece.start, ("wires", index, *piece.start_path))
                b = self.node(piece.end, ("wires", index, *piece.end_path))
                if a and b:
                    yield self._wire(wire, piece.id, a, b, index)

    def plan_wires(self) -> tuple[Wire, ...]:
        assert self.reading.plan is not None
        return tuple(self.reading.plan.wires)

    def _wire(self, wire: Wire, name: str, a: Node, b: Node, index: int) -> Conductor:
        return Conductor(
            name, a, b, self.reading.place("wires", index), "wire", wire.size, wire.colour, wire.insulation,
            wire.rated, wire.length, wire.route, title=wire.title,
        )

    def cables(self) -> Iterator[Conductor]:
        assert self.reading.plan is not None
        for index, cable in enumerate(self.reading.plan.cables):
            for core, (start, end) in cable.join.items():
                a = self.node(start, ("cables", index, "join", core, 0))
                b = self.node(end, ("cables", index, "join", core, 1))
                if a and b:
                    yield self._core(cable, core, a, b, index)
            if cable.shield:
                yield from self._shield(cable, index)

    def _core(self, cable: Cable, core: str, a: Node, b: Node, index: int) -> Conductor:
        return Conductor(
            f"{cable.cable}.{core}", a, b, self.reading.place("cables", index, "join", core), "core", cable.size_of(core),
            cable.colour_of(core), cable.insulation, cable.rated, cable.length, cable.route, cable.cable, cable.cores,
            cable.title,
        )

    def _shield(self, cable: Cable, index: int) -> Iterator[Conductor]:
        assert cable.shield is not None
        for n, ref in enumerate(cable.shield.ends):
            end = self.node(ref, ("cables", index, "shield", "ends", n))
            if end:
                name = f"{cable.cable}.shield" if n == 0 else f"{cable.cable}.shield.{n + 1}"
                yield Conductor(
                    name, (cable.cable, ".shield"), end, self.reading.place("cables", index, "shield"), "shield",
                    length_m=cable.length if n else 0.1, route=cable.route, cable=cable.cable,
                )


def _inner_paths(part: Part) -> list[Inner]:
    return [
        Inner(part.name, element, (part.name, element.a), (part.name, element.b))
        for element in part.elements
        if isinstance(element, Link | Pole | Switch)
    ]


def _part_nodes(part: Part) -> set[Node]:
    inner = {
        (part.name, getattr(element, field.name))
        for element in part.elements
        for field in fields(element)
        if field.name in _TERMINAL_FIELDS
    }
    return inner | {(part.name, terminal) for terminal in part.terminals}


def build_circuit(reading: Reading, parts: Mapping[str, Part], faults: list[Fault]) -> Circuit:
    """The circuit of a plan. References that lead nowhere are added to `faults` and left out.

    Raises ValueError when the reading holds no plan.
    """
    if reading.plan is None:
        raise ValueError("a circuit needs a plan that could be read")
    builder = _Builder(reading, parts, faults)
    conductors = sorted([*builder.wires(), *builder.cables()], key=lambda conductor: conductor.id)
    ordered = {name: parts[name] for name in sorted(parts)}
    inner = [path for part in ordered.values() for path in _inner_paths(part)]
    nodes = {node for part in ordered.values() for node in _part_nodes(part)}
    nodes |= {end for conductor in conductors for end in conductor.ends}
    return Circuit(reading.plan, ordered, tuple(conductors), tuple(inner), tuple(sorted(nodes)))
