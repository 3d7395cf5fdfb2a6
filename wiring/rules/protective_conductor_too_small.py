"""A protective conductor is thinner than the line conductors of the part that it earths ask for.

IEC: as thick as the line conductor up to 16 mm2, then 16 mm2 up to 35 mm2, then half of it; a separate one outside a
cable and a cabinet at least 2.5 mm2. North America: by the rating of the fuse or breaker ahead that clears a short
circuit, never by the setting of an overload device.

A protective conductor answers for the parts behind it, seen from the inlet, and for no other; the one that leads from
the inlet to an earth bar also for the incoming lines. The line conductors of a part count, not its neutral: those of
the mains, else those of its other feed. For metalwork, which has none, the live conductors that go to any part at the
same place count; where none goes there, the thinnest of the machine, so that the least size of a separate protective
conductor still holds.

Fires on mixer at PE2
    PE2.size=1 mm2
Quiet
    PE2.size=2.5 mm2
Not judged
    A protective conductor or a line conductor without a size; under the North American book a line without a device.
Known limits
    A thinner conductor that would survive the fault by the adiabatic formula is not credited.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import Role
from wiring.design.conductor_place import is_outside
from wiring.design.conductor_sizes import is_below, size_words
from wiring.design.protective_sections import lone_sections
from wiring.findings import Mend, Number
from wiring.parts.passive import Connector, EarthBar, Metalwork, Terminals
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="protective-conductor-too-small",
    title="Protective conductor is too thin",
    signal=Signal.WARNING,
    harm="A fault to the metal burns the protective conductor open before the device trips, and leaves the metal live.",
    sources=(("iec", iec_60204("8.2.2, table 1", Standing.CONFIRMED)), ("na", nfpa_79("8.2.2.3"))),
)
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


def _lines_at(design: Design, place: str) -> list[Conductor]:
    """The live conductors that go to a place; where none does, the thinnest there is stands for the least size."""
    live = [c for c in design.circuit.conductors if design.roles.of_conductor(c) is Role.LIVE]
    here = [c for c in live if any(design.parts[end[0]].data.at == place for end in c.ends if end[0] in design.parts)]
    return here or sorted(live, key=lambda line: (line.size.area_mm2 if line.size else 0.0, line.id))[:1]


def _behind(design: Design) -> Mapping[str, frozenset[str]]:
    """The parts that each protective conductor alone holds at the earth, by its id."""
    sections = (section for inlet in design.earthing.inlets for section in lone_sections(design.machine, inlet))
    return {section.conductor.id: frozenset(section.parts) for section in sections}


def _lines_for(design: Design, conductor: Conductor, behind: frozenset[str] | None) -> list[Conductor]:
    """The line conductors that a protective conductor answers for.

    One with a second way beside it answers for the parts at its own ends.
    """
    inlets = {node[0] for node in design.earthing.inlets}
    ends = {name for name, _ in conductor.ends}
    lines: list[Conductor] = []
    for name in sorted(behind if behind is not None else ends - inlets):
        part = design.parts[name]
        if isinstance(part.data, Metalwork):
            lines += _lines_at(design, part.data.at)
        elif not isinstance(part.data, _JOINTS):
            lines += _lines_of(design, name)
    for name in sorted(ends & inlets):
        if any(isinstance(design.parts[end].data, _JOINTS) for end in ends):
            lines += _lines_of(design, name)
    if not lines and all(isinstance(design.parts[name].data, _JOINTS) for name in ends):
        return _lines_at(design, "")  # a bar of shields alone
    return list({line.id: line for line in lines}.values())


def _clearing_a(design: Design, line: Conductor) -> float | None:
    """Rated current of the device that clears a short circuit at the end of a line [A]; None where none is known."""
    drives = {motor.name: axis.drive for axis in design.axes.values() for motor in axis.motors}
    ends: list[Node] = list(line.ends)
    for name, _ in line.ends:
        if name in drives:  # a drive lets no short circuit through: the device in front of it counts
            ends = [(drives[name].name, terminal) for terminal in drives[name].terminals]
    faults = design.short_circuits
    rated = [
        faults.known[name].rating_a
        for reached in (faults.paths.hot.get(end) for end in ends)
        if reached is not None
        for name in [n for n in reached.devices if n in faults.known and faults.known[n].family in _CLEARS_SHORTS][-1:]
    ]
    source = design.protections.get(line.id)
    limited = source is not None and source.family == "supply" and source.rating_a != inf
    return max(rated, default=source.rating_a if source is not None and limited else None)


def _answering(design: Design) -> Iterator[tuple[Conductor, list[Conductor]]]:
    """Every conductor between protective earth points with the line conductors that it answers for."""
    behind = _behind(design)
    for conductor in design.earthing.conductors:
        yield conductor, _lines_for(design, conductor, behind.get(conductor.id))


def requirements(design: Design) -> Requirements:
    """Every protective conductor, once for each of its lines."""
    for conductor, lines in _answering(design):
        for line in lines:
            least = _least(design, conductor, line) if line.size is not None else None
            if isinstance(least, Limit):
                yield _required(conductor, line, least)


def _required(conductor: Conductor, line: Conductor, least: Limit) -> Requirement:
    why = f"line conductor {line.id} of {line.size.text if line.size else ''}"
    return Requirement(RULE.slug, conductor.id, Quantity.AREA, least.value, why=why, reference=line.id)


def _least(design: Design, conductor: Conductor, line: Conductor) -> Limit | NotTabled:
    """The smallest protective conductor beside a line [mm2]."""
    assert line.size is not None
    location = "machine" if is_outside(design.machine, conductor) else "enclosure"
    in_cable = conductor.cable is not None
    return design.book.protective_conductor(line.size, _clearing_a(design, line), in_cable=in_cable, location=location)


def check(design: Design) -> Judgements:
    """Every conductor between protective earth points that has a part with line conductors behind it."""
    for conductor, lines in _answering(design):
        sized = [line for line in lines if line.size is not None]
        if conductor.size is None or (lines and not sized):
            yield RULE.not_judged(
                (conductor.id,), "the size of it, and of the line conductors it answers for", conductor.place
            )
        elif sized:
            yield from _judge(design, conductor, sized)


def _judge(design: Design, conductor: Conductor, lines: list[Conductor]) -> Judgements:
    asked: list[tuple[float, str, Conductor, Limit]] = []
    missing = ""
    for line in lines:
        least = _least(design, conductor, line)
        if isinstance(least, NotTabled):
            missing = missing or least.reason
        else:
            asked.append((least.value, line.id, line, least))
    worst = max(asked, default=None, key=lambda entry: entry[:2])
    if worst is not None and is_below(conductor, worst[0]):
        yield _finding(design, conductor, worst[2], worst[3])
    elif missing:
        yield RULE.not_judged((conductor.id,), missing, conductor.place)


def _finding(design: Design, conductor: Conductor, line: Conductor, least: Limit) -> Judgement:
    assert conductor.size is not None
    assert line.size is not None
    words = f"Make {conductor.id} {size_words(design.machine, least.value)}."
    return RULE.finding(
        (conductor.id,),
        f"Protective conductor {conductor.id} is {conductor.size.text}; {least.value:.3g} mm2 is the least here",
        conductor.place,
        numbers=(
            Number("fitted", conductor.size.area_mm2 * 1e-6, "m2", conductor.id),
            Number("line", line.size.area_mm2 * 1e-6, "m2", f"conductor {line.id}"),
        ),
        limit=least,
        mend=(Mend(words, asks=(_required(conductor, line, least),)),),
    )
