"""An axis once more: its parts, its wires and cables, its place in the states; each written as the first one is."""

from __future__ import annotations

from wiring.changes.clone_wires import WireCopies
from wiring.changes.wanted import Addition
from wiring.circuit.model import Node, named
from wiring.parts.drives import Drive, StepperDrive
from wiring.plan.conductors import Cable
from wiring.plan.edits import AddEntry, AddItem, CopyEntry, Path, scalar
from wiring.plan.ratings import PhaseCurrent
from wiring.plan.records import TerminalRef
from wiring.plan.source import Node as Written
from wiring.sizing.library_use import entry_using, library_entry


class Cloner(WireCopies):
    """Adds copies of one axis to one plan."""

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
        without: tuple[Path, ...] = (("position",),) if node.child("position") is not None else ()
        self.edits.append(CopyEntry(("parts", name), new, after, tuple(changes), without))

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

    def _signals(self) -> None:
        """Finds a free channel of the card for every signal; one without takes its return along."""
        drive = self.axis.axis.drive
        data = drive.data
        assert isinstance(data, Drive)
        partner = dict(data.signal_inputs()) | {b: a for a, b in data.signal_inputs()}
        self.channels = {}
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
        for name, guard in self.design.parts.items():
            for part in getattr(guard.data, "guards", None) or ():
                if part in self.new and self._node("parts", name).child("guards") is not None:
                    self.edits.append(AddItem(("parts", name, "guards"), scalar(self.new[part])))

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
