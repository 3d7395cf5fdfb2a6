"""Plan and parts joined into a circuit. Every reference that leads nowhere is a fault with its place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from wiring.circuit.model import Circuit, Conductor, Inner, Node
from wiring.parts.base import TERMINAL_FIELDS, Part
from wiring.parts.elements import Link, Pole, Switch
from wiring.plan.colours import code_or_none
from wiring.plan.conductors import Cable, Shield, Wire, segments
from wiring.plan.fault import Fault, nearest
from wiring.plan.models import PlanFile
from wiring.plan.read import Reading
from wiring.plan.records import TerminalRef
from wiring.plan.references import part_reference_faults
from wiring.plan.source import Node as Written

#: Length of a shield's tail at its first bonded end, where it carries nothing [m].
_SHIELD_TAIL_M = 0.1


def _made_of(made: Wire | Cable) -> dict[str, Any]:
    return {
        "insulation": made.insulation,
        "rated_v": made.rated,
        "length_m": made.length,
        "route": made.route,
        "conductor_class": made.conductor_class,
        "thermocouple": made.thermocouple,
    }


def _core_colour(cable: Cable, core: str) -> str | None:
    """A core that is named by its colour has it; otherwise the colours of the cable count."""
    return code_or_none(core) or cable.colour_of(core)


def _written_refs(reading: Reading) -> Iterator[Written]:
    """Every text of the plan that names a terminal, whether or not the rest of the plan can be read."""
    if reading.tree is None:
        return
    for wire in reading.tree.items_of("wires"):
        for path in (("from",), ("to",), ("through",), ("star", "from"), ("star", "to")):
            found, depth = wire.follow(path)
            if depth == len(path):
                yield from found.texts()
    for cable in reading.tree.items_of("cables"):
        join = cable.child("join")
        for _, ends in join.entries() if join else ():
            yield from ends.texts()
        found, depth = cable.follow(("shield", "ends"))
        if depth == 2:
            yield from found.texts()
    for name in reading.parts:
        tracks = reading.node("parts", name, "tracks")
        for _, ends in tracks.entries() if tracks else ():
            yield from ends.texts()


def terminal_faults(reading: Reading, parts: Mapping[str, Part]) -> list[Fault]:
    """A fault for every conductor end at a terminal that its part does not have, and for a part named that is none.

    An unknown part, or one that could not be read, is reported elsewhere and passed over here.
    """
    faults = list(part_reference_faults(reading.tree)) if reading.tree is not None else []
    for node in _written_refs(reading):
        try:
            ref = TerminalRef.read(node.data)
        except ValueError:
            continue
        part = parts.get(ref.part)
        if part is None or ref.terminal in part.terminals:
            continue
        known = list(part.terminals)
        shown = ", ".join(known[:24]) + (" …" if len(known) > 24 else "")
        faults.append(
            Fault(
                node.place,
                f"{ref.part} has no terminal {ref.terminal}",
                f"a terminal of {ref.part} ({part.kind}): {shown}",
                _more_terminals(part),
                near=nearest(ref.terminal, known),
            )
        )
    return faults


def _more_terminals(part: Part) -> str:
    """The key of the kind that gives a part further terminals; "" where its terminals are fixed."""
    keys = type(part.data).model_fields
    if "contacts" in keys:
        return f"If {part.name} has a further contact, list it: `contacts: {{13-14: NO}}`"
    return f"If {part.name} has more of them, raise `points`" if "points" in keys else ""


class _Builder:
    def __init__(self, reading: Reading, plan: PlanFile, parts: Mapping[str, Part]) -> None:
        self.reading, self.plan, self.parts = reading, plan, parts

    def node(self, ref: TerminalRef) -> Node | None:
        part = self.parts.get(ref.part)
        return (ref.part, ref.terminal) if part and ref.terminal in part.terminals else None

    def wires(self) -> Iterator[Conductor]:
        for index, wire in enumerate(self.plan.wires):
            place = self.reading.place("wires", index)
            for piece in segments(wire):
                a, b = self.node(piece.start), self.node(piece.end)
                if a and b:
                    yield Conductor(
                        piece.name,
                        a,
                        b,
                        place,
                        wire.wire,
                        title=wire.title,
                        size=wire.size,
                        colour=wire.colour,
                        **_made_of(wire),
                    )

    def cables(self) -> Iterator[Conductor]:
        for index, cable in enumerate(self.plan.cables):
            for core, (start, end) in cable.join.items():
                a, b = self.node(start), self.node(end)
                if a and b:
                    yield self._core(cable, core, a, b, index)
            if cable.shield:
                yield from self._shield(cable, cable.shield, index)

    def _core(self, cable: Cable, core: str, a: Node, b: Node, index: int) -> Conductor:
        return Conductor(
            f"{cable.cable}.{core}",
            a,
            b,
            self.reading.place("cables", index, "join", core),
            f"{cable.cable}.{cable.labels.get(core, core)}",
            "core",
            size=cable.size_of(core),
            colour=_core_colour(cable, core),
            cable=cable.cable,
            cores=cable.cores or len(cable.join),
            title=cable.title,
            **_made_of(cable),
        )

    def _shield(self, cable: Cable, shield: Shield, index: int) -> Iterator[Conductor]:
        for n, ref in enumerate(shield.ends):
            end = self.node(ref)
            if end:
                name = f"{cable.cable}.shield" if n == 0 else f"{cable.cable}.shield.{n + 1}"
                yield Conductor(
                    name,
                    (cable.cable, ".shield"),
                    end,
                    self.reading.place("cables", index, "shield"),
                    f"{cable.cable}.shield",
                    "shield",
                    length_m=cable.length if n else _SHIELD_TAIL_M,
                    route=cable.route,
                    cable=cable.cable,
                )


def _inner_paths(part: Part) -> list[Inner]:
    return [
        Inner(part.name, element, (part.name, element.a), (part.name, element.b))
        for element in part.elements
        if isinstance(element, Link | Pole | Switch)
    ]


def _tracks(part: Part, parts: Mapping[str, Part]) -> Iterator[Inner]:
    """The tracks of a board to the modules that are plugged on it: joined as by one piece of metal."""
    tracks: Mapping[str, list[TerminalRef]] = getattr(part.data, "tracks", {})
    for start, ends in tracks.items():
        name = part.data.terminals.get(start, start)
        for end in ends:
            if end.part in parts and end.terminal in parts[end.part].terminals and name in part.terminals:
                yield Inner(part.name, Link(name, str(end)), (part.name, name), (end.part, end.terminal))


def _bolted(part: Part, parts: Mapping[str, Part]) -> Iterator[Inner]:
    """The metal of a part that is bolted to another one is one piece with it."""
    other = parts.get(part.data.bolted_to)
    own, far = part.data.earth_terminal(), other.data.earth_terminal() if other else None
    if other is None or own is None or far is None:
        return
    a, b = part.data.terminals.get(own, own), other.data.terminals.get(far, far)
    yield Inner(part.name, Link(a, f"{other.name}:{b}"), (part.name, a), (other.name, b))


def _part_nodes(part: Part) -> set[Node]:
    inner = {
        (part.name, getattr(element, name))
        for element in part.elements
        for name in element.__struct_fields__
        if name in TERMINAL_FIELDS
    }
    return inner | {(part.name, terminal) for terminal in part.terminals}


def build_circuit(reading: Reading, parts: Mapping[str, Part]) -> Circuit:
    """The circuit of a plan. Conductor ends that lead nowhere are left out; `terminal_faults` tells them.

    Raises PlanFaults when the reading holds no plan.
    """
    plan = reading.plan_or_raise()
    builder = _Builder(reading, plan, parts)
    conductors = sorted([*builder.wires(), *builder.cables()], key=lambda conductor: conductor.id)
    ordered = {name: parts[name] for name in sorted(parts)}
    inner = [
        path
        for part in ordered.values()
        for path in (*_inner_paths(part), *_tracks(part, ordered), *_bolted(part, ordered))
    ]
    nodes = {node for part in ordered.values() for node in _part_nodes(part)}
    nodes |= {end for conductor in conductors for end in conductor.ends}
    return Circuit(plan, ordered, tuple(conductors), tuple(inner), tuple(sorted(nodes)))
