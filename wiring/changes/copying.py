"""What copies of an axis share: the plan, the names and points that are taken, and where each end of the first goes."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct, field

from wiring.changes.axis import AxisParts
from wiring.changes.names import Names
from wiring.changes.points import Points
from wiring.changes.wanted import Wanted
from wiring.circuit.model import Node, named
from wiring.design.design import Design
from wiring.plan.conductors import Wire, segments
from wiring.plan.edits import CopyEntry, Edit, Path, scalar
from wiring.plan.records import TerminalRef
from wiring.plan.source import Node as Written


class Copying(Struct, dict=True):
    """Copies of one axis in the making. Names and points are shared by all of them."""

    design: Design
    axis: AxisParts
    wanted: Wanted
    edits: list[Edit] = field(default_factory=list)
    parts: list[tuple[str, str]] = field(default_factory=list)
    conductors: list[str] = field(default_factory=list)
    unplaced: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        design = self.design
        self.points = Points(design.circuit)
        self.part_names = Names(design.parts)
        pieces = [piece.name for wire in design.plan.wires for piece in segments(wire)]
        wires = [wire.wire for wire in design.plan.wires]
        cables = [cable.cable for cable in design.plan.cables]
        self.wire_names = Names([*wires, *pieces, *cables])
        self.cable_names = Names([*wires, *pieces, *cables])
        self.own = set(self.axis.own) | ({self.axis.supply} if self.wanted.own_supply else set())
        self.new: dict[str, str] = {}
        self.new_points: dict[Node, Node] = {}
        self.missing: set[Node] = set()
        self.channels: dict[tuple[str, str], Node] = {}
        self.copy_number = 1

    def _node(self, *path: str | int) -> Written:
        node = self.design.reading.node(*path)
        assert node is not None, "what was read has a place"
        return node

    def _title(self, node: Written) -> str:
        title = node.child("title")
        return f"{title.data} {self.copy_number}" if title is not None and isinstance(title.data, str) else ""

    # what is the axis's own, and where the rest goes

    def _is_own(self, ref: TerminalRef) -> bool:
        return ref.part in self.own or (ref.part, ref.terminal) in self.axis.points

    def _mapped(self, ref: TerminalRef) -> Node:
        node = (ref.part, ref.terminal)
        return self.new_points[node] if node in self.axis.points else (self.new[ref.part], ref.terminal)

    def _lost(self, ref: TerminalRef) -> bool:
        return (ref.part, ref.terminal) in self.missing

    def _place(self, number: str, ref: TerminalRef, own_end: Node | None) -> Node | None:
        """Where the far end of a new conductor goes; None, and told, where it finds no place."""
        node = (ref.part, ref.terminal)
        if (number, named(node)) in self.channels:
            return self.channels[number, named(node)]
        found = self.points.take(node) or self._beyond(node, own_end)
        if found is None:
            end = f" for {named(own_end)}" if own_end else ""
            self.unplaced.append(f"no free point on {ref.part} beside {ref.terminal}{end}")
        return found

    def _beyond(self, node: Node, own_end: Node | None) -> Node | None:
        """Where a single full point is fed from: what it serves, such as a brake, is then worked together with that."""
        for conductor in self.design.circuit.conductors_at(node):
            far = conductor.other(node)
            if own_end is not None and conductor.kind != "shield" and far[0] not in self.own:
                found = self.points.take(far)
                if found is not None:
                    self.remarks.append(f"{named(own_end)} is joined to {named(found)}, as what {named(node)} serves")
                    return found
        return None

    def _index(self, wire: Wire) -> int:
        return next(n for n, other in enumerate(self.design.plan.wires) if other.wire == wire.wire)

    def _copy(
        self,
        section: str,
        key: str,
        like: str,
        node: Written,
        changes: Iterable[tuple[Path, str]],
        without: tuple[Path, ...] = (),
    ) -> None:
        names = self.wire_names if section == "wires" else self.cable_names
        new = names.give(like)
        whole: list[tuple[Path, str]] = [((key,), scalar(new)), *changes]
        if self._title(node):
            whole.append((("title",), scalar(self._title(node))))
        self.edits.append(CopyEntry((section, like), "", names.after(new), tuple(whole), without))
        self.conductors.append(new)
