"""A protective conductor is thinner than the line conductors of the part that it earths ask for.

IEC: as thick as the line conductor up to 16 mm2, then 16 mm2 up to 35 mm2, then half of it; a separate one outside a
cable and a cabinet at least 2.5 mm2. North America: by the rating of the overcurrent device ahead.

For a part with mains conductors the thickest of them counts, for one with others the thickest of those. For metalwork,
which has none, the thickest mains conductor that goes to any part at the same place counts; where none goes there, the
thinnest of the machine, so that the least size of a separate protective conductor still holds. A conductor between two
earth bars answers for all the parts behind it.

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V, upstream: {kind: breaker, rating: 16 A, curve: B}}
    parts:
      X0: {kind: inlet}
      E1: {kind: heater, rated: 230 V AC 1000 W, at: cabinet}
    wires:
      - {wire: 1, from: X0:L, to: E1:1, size: 2.5 mm2, length: 1 m}
      - {wire: 2, from: X0:N, to: E1:2, size: 2.5 mm2, length: 1 m}
      - {wire: PE1, from: X0:PE, to: E1:PE, size: 1 mm2, length: 1 m}
Quiet
    mains: {inlet: X0, system: single-phase, voltage: 230 V, upstream: {kind: breaker, rating: 16 A, curve: B}}
    parts:
      X0: {kind: inlet}
      E1: {kind: heater, rated: 230 V AC 1000 W, at: cabinet}
    wires:
      - {wire: 1, from: X0:L, to: E1:1, size: 2.5 mm2, length: 1 m}
      - {wire: 2, from: X0:N, to: E1:2, size: 2.5 mm2, length: 1 m}
      - {wire: PE1, from: X0:PE, to: E1:PE, size: 2.5 mm2, length: 1 m}
Not judged
    A protective conductor or a line conductor without a size; under the North American book a line without a device.
Known limits
    A thinner conductor that would survive the fault by the adiabatic formula is not credited.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.conductor_place import is_outside
from wiring.design.design import Design
from wiring.design.protective_sections import lone_sections
from wiring.findings import Number, Signal
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="protective-conductor-too-small",
    title="Protective conductor is too thin",
    signal=Signal.WARNING,
    harm="A fault to the metal burns the protective conductor open before the device trips, and leaves the metal live.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "8.2.2, table 1", Standing.CONFIRMED)),
        ("na", Source("NFPA 79", "2021", "8.2.2.3", Standing.FROM_MEMORY)),
    ),
)
_MAINS = (Role.LIVE, Role.NEUTRAL)
_LINES = (Role.LIVE, Role.NEUTRAL, Role.AC, Role.PLUS, Role.ZERO, Role.MOTOR)


def _lines_of(design: Design, part: str) -> list[Conductor]:
    found = [
        conductor
        for terminal in design.parts[part].terminals
        for conductor in design.circuit.conductors_at((part, terminal))
    ]
    lines = [c for c in found if c.kind != "shield" and design.roles.of_conductor(c) in _LINES]
    mains = [c for c in lines if design.roles.of_conductor(c) in _MAINS]
    return mains or lines


def _lines_at(design: Design, place: str) -> list[Conductor]:
    """The live conductors that go to a place; where none does, the thinnest there is stands for the least size."""
    live = [c for c in design.circuit.conductors if design.roles.of_conductor(c) is Role.LIVE]
    here = [c for c in live if any(design.parts[end[0]].data.at == place for end in c.ends if end[0] in design.parts)]
    return here or sorted(live, key=lambda line: (line.size.area_mm2 if line.size else 0.0, line.id))[:1]


def _lines_behind(design: Design, conductor: Conductor) -> list[Conductor]:
    """The lines of the parts behind a conductor between two bars; of a bar of shields alone, the thinnest there is."""
    behind = {
        name
        for inlet in design.earthing.inlets
        for section in lone_sections(design.machine, inlet)
        if section.conductor == conductor
        for name in section.parts
    }
    parts = [name for name in sorted(behind) if design.parts[name].kind not in ("earth-bar", "terminals", "metalwork")]
    return [line for name in parts for line in _lines_of(design, name)] or _lines_at(design, "")


def reference_line(design: Design, conductor: Conductor) -> tuple[Conductor | None, bool]:
    """The thickest line conductor that a protective conductor answers for, and whether one has no size."""
    lines: list[Conductor] = []
    if all(design.parts[name].kind == "earth-bar" for name, _ in conductor.ends):
        lines = _lines_behind(design, conductor)
    for name, _ in conductor.ends:
        part = design.parts[name]
        if part.kind == "metalwork":
            lines += _lines_at(design, part.data.at)
        elif part.kind not in ("earth-bar", "terminals", "connector"):
            lines += _lines_of(design, name)
    sized = [line for line in lines if line.size is not None]
    thickest = max(sized, key=lambda line: (line.size.area_mm2 if line.size else 0.0, line.id), default=None)
    return thickest, len(sized) < len(lines)


def check(design: Design) -> Iterator[Judgement]:
    """Every conductor between protective earth points that has a part with line conductors at an end."""
    for conductor in design.earthing.conductors:
        line, unsized = reference_line(design, conductor)
        if conductor.size is None or (line is None and unsized):
            yield RULE.not_judged(
                (conductor.id,), "the size of it, and of the line conductors it answers for", conductor.place
            )
        elif line is not None and line.size is not None:
            yield from _judge(design, conductor, line)


def _judge(design: Design, conductor: Conductor, line: Conductor) -> Iterator[Judgement]:
    assert conductor.size is not None
    assert line.size is not None
    protection = design.protections.get(line.id)
    device_a = protection.rating_a if protection is not None and protection.rating_a != inf else None
    location = "machine" if is_outside(design.machine, conductor) else "enclosure"
    least = design.book.protective_conductor(
        line.size, device_a, in_cable=conductor.cable is not None, location=location
    )
    if isinstance(least, NotTabled):
        yield RULE.not_judged((conductor.id,), least.reason, conductor.place)
    elif conductor.size.area_mm2 < least.value * (1 - 1e-6):
        size = next((s for s in design.book.standard_sizes() if s.area_mm2 >= least.value * (1 - 1e-6)), None)
        yield RULE.finding(
            (conductor.id,),
            f"Protective conductor {conductor.id} is {conductor.size.text}; {least.value:.3g} mm2 is the least here",
            conductor.place,
            numbers=(
                Number("fitted", conductor.size.area_mm2 * 1e-6, "m2", conductor.id),
                Number("line", line.size.area_mm2 * 1e-6, "m2", f"conductor {line.id}"),
            ),
            limit=least,
            mend=(f"Make {conductor.id} {size.text if size else f'{least.value:.3g} mm2'}.",),
        )
