"""An axis once more: its parts, its wires and cables, its place in the states; each written as the first one is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from wiring.changes.axis import AxisParts, supply_output
from wiring.changes.edits import AddEntry, AddItem, CopyEntry, Edit, scalar
from wiring.changes.library_use import entry_using, library_entry
from wiring.changes.names import Names
from wiring.changes.outline import Path
from wiring.changes.points import Points
from wiring.changes.wanted import Addition, Wanted
from wiring.circuit.model import Node, named
from wiring.design.design import Design
from wiring.parts.drives import Drive, StepperDrive
from wiring.parts.passive import EarthBar, Terminals
from wiring.plan.conductors import Cable, Wire, segments
from wiring.plan.records import PhaseCurrent, TerminalRef
from wiring.plan.source import Node as Written

Changes = tuple[tuple[Path, str], ...]


@dataclass
class Cloner:
    """Adds copies of one axis to one plan. Names and points are shared by all of them."""

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
        self.copy_number = 1

    # parts

    def clone(self) -> None:
        """One copy more."""
        self.copy_number += 1
        self.new = {}
        self.new_points, self.missing = {}, set()
        for name in [name for name in self.design.parts if name in self.own]:
            self.new[name] = self.part_names.give(name)
            self.parts.append((name, self.new[name]))
        for name in self.new:
            self._part(name)
        for node in sorted(self.axis.points):
            self._own_point(node)
        self._signals()
        for wire in self.design.plan.wires:
            self._wire(wire)
        for cable in self.design.plan.cables:
            self._cable(cable)
        self._states()
        self._stops()

    def _node(self, *path: str | int) -> Written:
        node = self.design.reading.node(*path)
        assert node is not None, "what was read has a place"
        return node

    def _title(self, node: Written) -> str:
        title = node.child("title")
        return f"{title.data} {self.copy_number}" if title is not None and isinstance(title.data, str) else ""

    def _part(self, name: str) -> None:
        node, new = self._node("parts", name), self.new[name]
        after = self.part_names.after(new)
        motors = {motor.name for motor in self.axis.axis.motors}
        if name in motors and self.wanted.motor:
            entry = entry_using(node, self.wanted.motor, self._title(node) or None)
            self.edits.append(AddEntry(("parts",), new, entry, after))
            return
        changes: list[tuple[Path, str]] = []
        if self._title(node):
            changes.append((("title",), scalar(self._title(node))))
        holds = node.child("holds")
        if holds is not None and holds.data in self.new:
            changes.append((("holds",), scalar(self.new[holds.data])))
        if name == self.axis.axis.drive.name:
            changes += self._drive_setting(node)
        self.edits.append(CopyEntry(("parts", name), new, after, tuple(changes)))

    def _drive_setting(self, node: Written) -> list[tuple[Path, str]]:
        """The drive of a smaller motor is set to its current; one that is too small for its motor is told."""
        if not self.wanted.motor:
            return []
        drive, motor = self.axis.axis.drive, library_entry(self.design, self.wanted.motor)
        rated = motor.data.get("phase_current")
        if not isinstance(drive.data, StepperDrive) or not isinstance(rated, str):
            return []
        wanted_a, set_a = PhaseCurrent.read(rated).peak_a, drive.data.phase_current.peak_a
        name = self.new[drive.name]
        if wanted_a > set_a:
            self.remarks.append(
                f"{name} is set to {set_a:.3g} A peak as {drive.name} is; the motor takes {wanted_a:.3g} A peak"
            )
            return []
        if node.child("phase_current") is None:
            self.remarks.append(f"set {name} to the motor's {wanted_a:.3g} A peak (`phase_current`)")
            return []
        return [(("phase_current",), f"{wanted_a:.3g} A peak")]

    def _own_point(self, node: Node) -> None:
        found = self.points.single(node)
        if found is None:
            self.unplaced.append(f"{node[0]} has no free point for what {named(node)} does")
            self.missing.add(node)
        else:
            self.new_points[node] = found

    # what is the axis's own, and where the rest goes

    def _is_own(self, ref: TerminalRef) -> bool:
        return ref.part in self.own or (ref.part, ref.terminal) in self.axis.points

    def _mapped(self, ref: TerminalRef) -> Node:
        node = (ref.part, ref.terminal)
        return self.new_points[node] if node in self.axis.points else (self.new[ref.part], ref.terminal)

    def _lost(self, ref: TerminalRef) -> bool:
        return (ref.part, ref.terminal) in self.missing

    def _signals(self) -> None:
        """Finds a free channel of the card for every signal; one without takes its return along."""
        drive = self.axis.axis.drive
        data = drive.data
        assert isinstance(data, Drive)
        partner = dict(data.signal_inputs()) | {b: a for a, b in data.signal_inputs()}
        self.channels: dict[tuple[str, str], Node] = {}
        lost: list[tuple[str, str]] = []
        for conductor in self.design.circuit.conductors:
            for near, far in (conductor.ends, conductor.ends[::-1]):
                if near[0] != drive.name or far[0] not in self.design.parts or not self.points.is_channel(far):
                    continue
                found = self.points.channel(far)
                if found is None:
                    lost.append((near[1], far[0]))
                    self.missing |= {near, (drive.name, partner.get(near[1], near[1]))}
                else:
                    self.channels[conductor.number, named(far)] = found
        for card in sorted({card for _, card in lost}):
            ends = ", ".join(f"{self.new[drive.name]}:{end}" for end, of in lost if of == card)
            self.unplaced.append(f"{card} has no free channel for {ends}")

    def _place(self, number: str, ref: TerminalRef, own_end: Node | None) -> Node | None:
        """Where the far end of a new conductor goes; None, and told, where it finds no place."""
        node = (ref.part, ref.terminal)
        if (number, named(node)) in self.channels:
            return self.channels[number, named(node)]
        found = self.points.take(node)
        if found is None:
            end = f" for {named(own_end)}" if own_end else ""
            self.unplaced.append(f"no free point on {ref.part} beside {ref.terminal}{end}")
        return found

    # wires

    def _wire(self, wire: Wire) -> None:
        refs = _refs(wire)
        own = [ref for ref in refs if self._is_own(ref) and not self._lost(ref)]
        if not own or (len(own) < len([ref for ref in refs if self._is_own(ref)]) and wire.through is None):
            return
        if self._tapped(wire, own):
            return
        if wire.start is not None and wire.to is not None:
            self._plain(wire, wire.start, wire.to)
        elif wire.through is not None:
            self._chain(wire, own)
        elif wire.star is not None:
            self._star(wire, own)

    def _tapped(self, wire: Wire, own: list[TerminalRef]) -> bool:
        """Whether the wire comes from a rail that the new axis takes from another supply; it is then joined there."""
        outside = [ref for ref in _refs(wire) if not self._is_own(ref)]
        ends = [ref for ref in own if (ref.part, ref.terminal) in self.axis.power_ends]
        if not self.wanted.on or self.wanted.on == self.axis.supply or not outside or not ends:
            return False
        rails = self.design.roles.rails[outside[0].part, outside[0].terminal]
        here = [rail for rail in rails if rail.source == self.axis.supply]
        if not here:
            return False
        output = supply_output(self.design, self.wanted.on)
        terminal = output.plus if "plus" in here[0].role.name.lower() else output.minus
        for ref in ends:
            self._tap(wire, TerminalRef(self.wanted.on, terminal), ref)
        return True

    def _tap(self, wire: Wire, source: TerminalRef, ref: TerminalRef) -> None:
        end = self._mapped(ref)
        for other in self.design.plan.wires:
            if other.through is not None and source in other.through:
                self.edits.append(AddItem(("wires", other.wire, "through"), scalar(named(end))))
                return
        node = (source.part, source.terminal)
        strips = [conductor.other(node) for conductor in self.design.circuit.conductors_at(node)]
        strip = next((far for far in strips if isinstance(self.design.parts[far[0]].data, Terminals)), node)
        found = self._place("", TerminalRef(*strip), end)
        if found is not None:
            self._new_wire(wire, found, end)

    def _new_wire(self, like: Wire, start: Node, end: Node) -> None:
        """A wire made as another one between two ends of its own."""
        new = self.wire_names.give(like.wire)
        node = self._node("wires", self._index(like))
        keep = {key: value for key, value in node.data.items() if key not in ("wire", "from", "to", "through", "star")}
        ends = {"wire": new, "from": named(start), "to": named(end)}
        text = ", ".join(f"{key}: {scalar(str(value))}" for key, value in (ends | keep).items() if key != "title")
        self.edits.append(AddItem(("wires",), f"{{{text}}}", self.wire_names.after(new)))
        self.conductors.append(new)

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

    def _plain(self, wire: Wire, start: TerminalRef, to: TerminalRef) -> None:
        changes: list[tuple[Path, str]] = []
        for key, ref, far in (("from", start, to), ("to", to, start)):
            end = self._mapped(ref) if self._is_own(ref) else self._place(wire.wire, ref, self._mapped(far))
            if end is None:
                return
            changes.append(((key,), scalar(named(end))))
        self._copy("wires", "wire", wire.wire, self._node("wires", self._index(wire)), changes)

    def _chain(self, wire: Wire, own: list[TerminalRef]) -> None:
        assert wire.through is not None
        outside = [ref for ref in wire.through if not self._is_own(ref)]
        node = self._node("wires", self._index(wire))
        starts_here = self._is_own(wire.through[0])
        points = [ref for ref in outside if isinstance(self.design.parts[ref.part].data, Terminals | EarthBar)]
        if starts_here or (len(outside) == 1 and points):
            ends: list[Node] = []
            for ref in wire.through:
                if self._is_own(ref):
                    ends += [] if self._lost(ref) else [self._mapped(ref)]
                elif not starts_here:
                    found = self._place(wire.wire, ref, None)
                    if found is None:
                        return
                    ends.append(found)
            if len(ends) > 1:
                text = f"[{', '.join(scalar(named(end)) for end in ends)}]"
                self._copy("wires", "wire", wire.wire, node, [(("through",), text)])
            return
        for ref in own:
            self.edits.append(AddItem(("wires", wire.wire, "through"), scalar(named(self._mapped(ref)))))

    def _star(self, wire: Wire, own: list[TerminalRef]) -> None:
        assert wire.star is not None
        if not self._is_own(wire.star.start):
            for ref in own:
                self.edits.append(AddItem(("wires", wire.wire, "star", "to"), scalar(named(self._mapped(ref)))))
            return
        start = self._mapped(wire.star.start)
        ends = [self._mapped(ref) if self._is_own(ref) else self._place(wire.wire, ref, start) for ref in wire.star.to]
        text = ", ".join(scalar(named(end)) for end in ends if end is not None)
        changes: list[tuple[Path, str]] = [(("star", "from"), scalar(named(start))), (("star", "to"), f"[{text}]")]
        self._copy("wires", "wire", wire.wire, self._node("wires", self._index(wire)), changes)

    # cables

    def _cable(self, cable: Cable) -> None:
        changes: list[tuple[Path, str]] = []
        without: list[Path] = []
        for core, ends in cable.join.items():
            new = self._core(cable, ends)
            if new is None:
                without.append(("join", core))
                without += [("sizes", core)] if core in cable.sizes else []
                continue
            changes += [(("join", core, n), scalar(named(end))) for n, end in enumerate(new)]
        if not changes:
            return
        for n, ref in enumerate(cable.shield.ends if cable.shield else ()):
            end = self._place(cable.cable, ref, None)
            changes += [(("shield", "ends", n), scalar(named(end)))] if end else []
        index = next(n for n, other in enumerate(self.design.plan.cables) if other.cable == cable.cable)
        self._copy("cables", "cable", cable.cable, self._node("cables", index), changes, tuple(without))

    def _core(self, cable: Cable, ends: tuple[TerminalRef, TerminalRef]) -> list[Node] | None:
        own = [ref for ref in ends if self._is_own(ref)]
        if not own or any(self._lost(ref) for ref in own):
            return None
        found: list[Node] = []
        for ref in ends:
            end = self._mapped(ref) if self._is_own(ref) else self._place(cable.cable, ref, self._mapped(own[0]))
            if end is None:
                return None
            found.append(end)
        return found

    # states and stops

    def _states(self) -> None:
        for state in self.design.plan.states:
            keys = self._node("states", state).keys
            for name, new in self.new.items():
                if name in keys:
                    after = self.part_names.after(new)
                    self.edits.append(CopyEntry(("states", state, name), new, after if after in keys else name))

    def _stops(self) -> None:
        for name, stop in self.design.plan.stops.items():
            for part in stop.removes if isinstance(stop.removes, tuple) else ():
                if part in self.new:
                    self.edits.append(AddItem(("stops", name, "removes"), scalar(self.new[part])))

    def addition(self) -> Addition:
        written = {name: self._node("parts", name) for name in self.points.grown}
        motors = [new for old, new in self.parts if old in {motor.name for motor in self.axis.axis.motors}]
        return Addition(
            (*self.edits, *self.points.edits(written)),
            tuple(self.parts),
            tuple(self.conductors),
            tuple(self.unplaced),
            (*self.remarks, *self.points.words()),
            tuple(motors),
        )


def _refs(wire: Wire) -> list[TerminalRef]:
    if wire.through is not None:
        return list(wire.through)
    if wire.star is not None:
        return [wire.star.start, *wire.star.to]
    return [ref for ref in (wire.start, wire.to) if ref is not None]
