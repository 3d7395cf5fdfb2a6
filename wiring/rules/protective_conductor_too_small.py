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

from collections.abc import Sequence
from functools import partial

from wiring.circuit.model import Conductor
from wiring.design.conductor.sizes import is_below, size_words
from wiring.design.earth.protective_sizes import answering_lines, least_protective
from wiring.findings import Cause, Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.wording import agreeing, listed

RULE = Rule(
    slug="protective-conductor-too-small",
    title="Protective conductor is too thin",
    signal=Signal.WARNING,
    harm="A fault to the metal burns the protective conductor open before the device trips, and leaves the metal live.",
    sources=(("iec", iec_60204("8.2.2, table 1", Standing.CONFIRMED)), ("na", nfpa_79("8.2.2.3"))),
)


def requirements(design: Design) -> Requirements:
    """Every protective conductor, once for each of its lines."""
    for conductor, lines in answering_lines(design):
        for line in lines:
            least = least_protective(design, conductor, line) if line.size is not None else None
            if isinstance(least, Limit):
                yield _required(conductor, line, least)


def _required(conductor: Conductor, line: Conductor, least: Limit) -> Requirement:
    why = f"line conductor {line.id} of {line.size.text if line.size else ''}"
    return Requirement(RULE.slug, conductor.id, Quantity.AREA, least.value, why=why, reference=line.id)


def check(design: Design) -> Judgements:
    """Every conductor between protective earth points that has a part with line conductors behind it."""
    for conductor, lines in answering_lines(design):
        sized = [line for line in lines if line.size is not None]
        if conductor.size is None or len(sized) < len(lines):
            yield RULE.not_judged(
                (conductor.id,), "the size of it, and of the line conductors it answers for", conductor.place
            )
        if conductor.size is not None and sized:
            yield from _judge(design, conductor, sized)


def _judge(design: Design, conductor: Conductor, lines: list[Conductor]) -> Judgements:
    asked: list[tuple[float, str, Conductor, Limit]] = []
    missing = ""
    for line in lines:
        least = least_protective(design, conductor, line)
        if isinstance(least, NotTabled):
            missing = missing or least.reason
        else:
            asked.append((least.value, line.id, line, least))
    worst = max(asked, default=None, key=lambda entry: entry[:2])
    if worst is not None and is_below(conductor, worst[0]):
        group = worst[2].cable or worst[2].id, worst[0], conductor.size.text if conductor.size else ""
        yield Item(group, (conductor, worst[2], worst[3]), partial(_finding, design))
    elif missing:
        yield RULE.not_judged((conductor.id,), missing, conductor.place)


def _finding(design: Design, rows: Sequence[tuple[Conductor, Conductor, Limit]]) -> Finding:
    """Those that are too thin beside the same line."""
    (first, line, least), *_ = rows
    assert first.size is not None
    assert line.size is not None
    names, size = [conductor.id for conductor, _, _ in rows], size_words(design.machine, least.value)
    called = agreeing(names, "Protective conductor", "Protective conductors")
    return RULE.finding(
        names,
        f"{called} {listed(names)} {agreeing(names, 'is', 'are')} {first.size.text}; "
        f"{size} is the least beside {line.id}",
        first.place,
        because=[Cause(conductor.place, "as thin, beside the same line") for conductor, _, _ in rows[1:]],
        numbers=(
            Number("fitted", first.size.area_mm2 * 1e-6, "m2", first.id),
            Number("line", line.size.area_mm2 * 1e-6, "m2", f"conductor {line.id}"),
        ),
        limit=least,
        mend=(Mend(f"Make {listed(names)} of {size}.", asks=tuple(_required(*row) for row in rows)),),
    )
