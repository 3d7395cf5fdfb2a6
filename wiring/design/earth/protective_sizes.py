"""The line conductors that a protective conductor answers for, and the least size beside them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import Role
from wiring.design.conductor.place import is_outside
from wiring.design.design import Design
from wiring.design.earth.protective_sections import lone_sections
from wiring.parts.elements import Draw
from wiring.parts.passive import Connector, EarthBar, Metalwork, Terminals
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit

_LINES = (Role.LIVE, Role.AC, Role.PLUS, Role.ZERO, Role.MOTOR)


_JOINTS = (EarthBar, Terminals, Connector)


#: What clears a short circuit; the setting of an overload device does not count (NFPA 70, 250.122(A) and (D)).
_CLEARS_SHORTS = ("fuse", "breaker", "electronic-fuse")


def _lines_of(design: Design, part: str) -> list[Conductor]:
    found = [
        conductor
        for terminal in design.parts[part].terminals
        for conductor in design.circuit.conductors_at((part, terminal))
    ]
    lines = [c for c in found if c.kind != "shield" and design.roles.of_conductor(c) in _LINES]
    role = design.roles.of_conductor
    live = [c for c in lines if role(c) is Role.LIVE]
    return live or [c for c in lines if role(c) is not Role.ZERO] or lines  # the return has the same device ahead


def _lines_at(design: Design, live: Sequence[Conductor], place: str) -> list[Conductor]:
    """Those of the live conductors that go to a place; where none does, the thinnest stands for the least size."""
    here = [c for c in live if any(design.parts[end[0]].data.at == place for end in c.ends if end[0] in design.parts)]
    return here or sorted(live, key=lambda line: (line.size.area_mm2 if line.size else 0.0, line.id))[:1]


def _parts_behind(design: Design) -> Mapping[str, frozenset[str]]:
    """The parts that each protective conductor alone holds at the earth, by its id."""
    sections = (section for inlet in design.earthing.inlets for section in lone_sections(design.machine, inlet))
    return {section.conductor.id: frozenset(section.parts) for section in sections}


def _lines_for(
    design: Design, live: Sequence[Conductor], conductor: Conductor, behind: frozenset[str] | None
) -> list[Conductor]:
    """The line conductors that a protective conductor answers for; `live` are all live ones.

    One with a second way beside it answers for the parts at its own ends.
    """
    inlets = {node[0] for node in design.earthing.inlets}
    ends = {name for name, _ in conductor.ends}
    lines: list[Conductor] = []
    for name in sorted(behind if behind is not None else ends - inlets):
        part = design.parts[name]
        if isinstance(part.data, Metalwork):
            lines += _lines_at(design, live, part.data.at)
        elif not isinstance(part.data, _JOINTS):
            lines += _lines_of(design, name)
    for name in sorted(ends & inlets):
        if any(isinstance(design.parts[end].data, _JOINTS) for end in ends):
            lines += _lines_of(design, name)
    if not lines and all(isinstance(design.parts[name].data, _JOINTS) for name in ends):
        return _lines_at(design, live, "")  # a bar of shields alone
    return list({line.id: line for line in lines}.values())


def _clearing_rating_a(design: Design, line: Conductor) -> float | None:
    """Rated current of the device that clears a short circuit at the end of a line [A]; None where none is known."""
    drives = design.machine.topology.drive_of
    ends: list[Node] = list(line.ends)
    for name, _ in line.ends:
        if name in drives:  # a drive lets no short circuit through: the device in front of it counts
            ends = [(drives[name].name, terminal) for terminal in drives[name].terminals]
    faults = design.short_circuits
    if not any(end in faults.paths.hot for end in ends):  # what a load takes by one end leaves by the others
        ends += [(name, end) for name, _ in line.ends for one in design.parts[name].of(Draw) for end in (one.a, one.b)]
    rated = [
        faults.known[name].rating_a
        for reached in (faults.paths.hot.get(end) for end in ends)
        if reached is not None
        for name in [n for n in reached.devices if n in faults.known and faults.known[n].family in _CLEARS_SHORTS][-1:]
    ]
    source = design.protections.get(line.id)  # of a return the device in its line, of a rail the supply
    known = source is not None and source.family in (*_CLEARS_SHORTS, "supply") and source.rating_a != inf
    return max(rated, default=source.rating_a if source is not None and known else None)


def answering_lines(design: Design) -> Iterator[tuple[Conductor, list[Conductor]]]:
    """Every conductor between protective earth points with the line conductors that it answers for."""
    behind = _parts_behind(design)
    live = [one for one in design.circuit.conductors if design.roles.of_conductor(one) is Role.LIVE]
    for conductor in design.earthing.conductors:
        yield conductor, _lines_for(design, live, conductor, behind.get(conductor.id))


def least_protective(design: Design, conductor: Conductor, line: Conductor) -> Limit | NotTabled:
    """The smallest protective conductor beside a line [mm2]."""
    assert line.size is not None
    location = "machine" if is_outside(design.machine, conductor) else "enclosure"
    in_cable = conductor.cable is not None
    return design.book.protective_conductor(
        line.size, _clearing_rating_a(design, line), in_cable=in_cable, location=location
    )
