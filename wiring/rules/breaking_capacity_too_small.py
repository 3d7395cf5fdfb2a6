"""A protective device must break more current than it can.

The current that counts is that of a short circuit at the terminals of the device itself, of all lines that meet there,
with cold conductors, and with what induction motors on the mains feed back at the first moment: as much as they draw
with a locked rotor (IEC 60909-0). Contacts, poles and fuses on the way count nothing where the plan gives no resistance
of them. A breaker without a marking has the lowest breaking capacity of its standard, a small fuse without a letter
35 A or ten times its rating. A residual current device without overcurrent release must stand what it is marked for
until another opens; without a marking ten times its rated current, and 500 A at the least (IEC 61008-1).

Fires on hot-wire at F1
    F1.breaking=0.5 kA
Quiet
    F1.breaking=6 kA
Not judged
    Devices on the mains when the plan gives no prospective fault current, motor protectors and residual current devices
    without a marking, breakers without one where the lowest value of their standard is too little, and unmarked small
    fuses at extra-low voltage, which break more there than their standard asks at full voltage.
Known limits
    A device further up may back up a weaker one; the makers' tables say which, and they are not known here. What the
    capacitors of supplies and drives add for less than a millisecond is not counted, nor what a DC motor feeds back.
    The mains count as a resistance; a reactive source gives somewhat more behind long thin conductors than is said
    here, never more than the prospective current.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.device.devices import breaking_capacity
from wiring.design.edits import of_part
from wiring.design.fault.origins import is_assumed, source_of
from wiring.design.fault.records import FAULT_CURRENT, DeviceFault, Short
from wiring.design.fault.terminal_faults import (
    ResidualDevice,
    is_marked,
    needs_marking,
    opens_elsewhere,
    prospective_a,
    residual_devices,
    strongest_short,
)
from wiring.findings import Mend, Number
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.breakers import standard_breaking_capacity
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.overcurrent import breaks_fault
from wiring.rulebooks.steps import BREAKING_A, first_at_least, rounded_up
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, nfpa_70
from wiring.rules.words import amperes

RULE = Rule(
    slug="breaking-capacity-too-small",
    title="Short-circuit current is more than the device can break",
    signal=Signal.WARNING,
    harm="The device bursts or keeps arcing instead of opening.",
    sources=(("iec", Source("IEC 60364-4-43", "2008", "434.5.1", Standing.FROM_MEMORY)), ("na", nfpa_70("110.9"))),
)


def check(design: Design) -> Judgements:
    """Every device that stands in the way of a fault current."""
    assumed: list[str] = []
    unmarked: list[str] = []
    for row in design.short_circuits.devices.values():
        if row.device.family == "electronic-fuse" or opens_elsewhere(design, row):
            continue  # it limits the current and breaks none above its limit, or leaves breaking to others
        worst = strongest_short(design, row)
        capacity = breaking_capacity(design.parts[row.part], row.device)
        if is_assumed(design, worst):
            assumed.append(row.part)
        elif isinstance(capacity, NotTabled) or needs_marking(design, row, worst):
            unmarked.append(row.part)
        elif not breaks_fault(design.plan.rulebook, capacity, prospective_a(design, worst)).holds:
            yield _finding(design, row, worst, capacity)
    for one in residual_devices(design):
        if is_assumed(design, one.short):
            assumed.append(one.part)
        elif one.stands.value < prospective_a(design, one.short):
            if one.marked:
                yield _residual(design, one)
            else:
                unmarked.append(one.part)
    yield from RULE.ask(assumed, FAULT_CURRENT)
    yield from RULE.ask(unmarked, "the current that it can break (`breaking`)")


def _finding(design: Design, row: DeviceFault, worst: Short, capacity: Limit) -> Judgement:
    amps = prospective_a(design, worst)
    motors_a = worst.motors_a * amps / worst.highest.initial_a
    source = RULE.source(design.plan.rulebook)
    marked = is_marked(design, row)
    what = "is marked to break" if marked else "is sure to break only"
    note = "; ".join(text for text in (str(source) if source else "", capacity.note) if text)
    return RULE.finding(
        (row.part,),
        f"{row.part} {what} {amperes(capacity.value)}, and a short circuit at it draws {amperes(amps)}",
        design.place(row.part, "breaking") if marked else design.place(row.part),
        numbers=(
            Number("fault current", amps, "A", f"from {source_of(worst)} at {named(worst.node)}, cold wires"),
            *([Number("from motors", motors_a, "A", "part of it, fed back")] if motors_a > 0.0 else ()),
        ),
        limit=Limit(capacity.value, "A", capacity.source, note),
        mend=(
            _stronger(design, row, amps),
            "Or write its `breaking` from the data sheet, when it breaks more than its standard asks."
            if not marked
            else "Or put a fuse in front of it that the maker names as its back-up.",
        ),
    )


def _residual(design: Design, one: ResidualDevice) -> Judgement:
    amps = prospective_a(design, one.short)
    least_a = first_at_least(BREAKING_A, amps) or rounded_up(amps)
    return RULE.finding(
        (one.part,),
        f"{one.part} is marked to stand {amperes(one.stands.value)}, and a short circuit at it draws {amperes(amps)}",
        design.place(one.part, "breaking"),
        numbers=(Number("fault current", amps, "A", f"from the mains at {named(one.short.node)}, cold wires"),),
        limit=one.stands,
        mend=(
            Mend(
                f"Take a residual current device for {one.part} that is marked for {least_a / 1000:.3g} kA or more.",
                of_part(one.part, "breaking", f"{least_a / 1000:g} kA"),
            ),
            "Or put a fuse in front of it that the maker names as its back-up.",
        ),
    )


def _stronger(design: Design, row: DeviceFault, amps: float) -> Mend:
    """A breaker of the next standard breaking capacity, else a fuse, which breaks more than any of them."""
    standard = standard_breaking_capacity(amps) if design.plan.rulebook == "iec" else None
    of_breaker = row.device.family == "breaker" and isinstance(standard, Limit)
    step = standard.value if of_breaker and isinstance(standard, Limit) else first_at_least(BREAKING_A, amps)
    if step is not None:
        words = f"Take a {row.device.family} for {row.part} that is marked {step:.0f} ({step / 1000:g} kA)."
        return Mend(words, of_part(row.part, "breaking", f"{step / 1000:g} kA"))
    fuse = "gG" if design.plan.rulebook == "iec" else "class CC"
    least = f"{rounded_up(amps / 1000, 2):.2g} kA"
    return Mend(f"Take a device for {row.part} that is marked for {least} or more, such as a fuse {fuse}.")
