"""The wires of an axis once more: singles, chains and fan-outs, each written as the first one is."""

from __future__ import annotations

from wiring.changes.axis import supply_output
from wiring.changes.copying import Copying
from wiring.circuit.model import Node, named
from wiring.parts.passive import EarthBar, Terminals
from wiring.plan.conductors import Wire
from wiring.plan.edits import AddItem, Path, scalar
from wiring.plan.records import TerminalRef


class WireCopies(Copying):
    """Adds the wires of one copy."""

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


def _refs(wire: Wire) -> list[TerminalRef]:
    if wire.through is not None:
        return list(wire.through)
    if wire.star is not None:
        return [wire.star.start, *wire.star.to]
    return [ref for ref in (wire.start, wire.to) if ref is not None]
