"""A load does not run because the voltage that reaches it is below its least.

A drive or converter has a voltage below which it does nothing, and a coil one below which it does not pick up (85 % of
its rating). Judged in every state, and with all moving axes accelerating at once, when rails dip most. What a coil
keeps hold of is less than what it needs to pick up: a coil that would only hold is told as well. A coil that no state
feeds is judged by the most that the outputs and contacts on its way can give it. The logic of a card, controller,
drive works down to 85 % of the voltage that it is made for, an encoder on its motor down to 90 %, a motor gives its
torque down to 90 %, and a heater or lamp does its work down to 85 %.

Fires on sorting-gate at K1
    K1.coil=48 V DC 1 W
Quiet
    K1.coil=24 V DC 1 W
Not judged
    Nothing of its own.
Known limits
    A load whose wires alone lose too much is told by `voltage-drop-too-high`, one on an overloaded supply by
    `supply-overloaded`, and a drive on a rail below its window by `drive-voltage-outside-window`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from wiring.design.edits import for_voltage
from wiring.design.supply.feeding_conductors import Starved, areas_that_feed
from wiring.design.supply.undervoltage import (
    ENCODER_LOWEST,
    LOAD_LOWEST,
    LOGIC_LOWEST,
    MOTOR_LOWEST,
    PICKS_UP,
    LowVoltage,
    fed_loads,
    feeding_source,
    never_attracted,
)
from wiring.findings import Finding, Mend, Number
from wiring.parts.elements import Coil
from wiring.plan.edits import Edit
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="load-undervoltage",
    title="Too low a voltage for a load",
    signal=Signal.CAUTION,
    harm="It does not start, or drops out in motion.",
    sources=(
        ("iec", Source("IEC 60947-4-1", "2018", "pick-up at 85 % of the rated voltage", Standing.FROM_MEMORY)),
        ("na", Source("NEMA ICS 2", "2000", "pick-up at 85 % of the rated voltage", Standing.FROM_MEMORY)),
    ),
)
_SOURCES = {
    "works from": LOGIC_LOWEST.source,
    "counts right from": ENCODER_LOWEST.source,
    "gives its torque from": MOTOR_LOWEST.source,
    "does its work from": LOAD_LOWEST.source,
}


def check(design: Design) -> Judgements:
    """Every load that a state feeds too low, once, in the first state in which it is."""
    low: dict[str, LowVoltage] = {}
    for found in _fed(design):
        if found.is_too_low:
            low.setdefault(found.part, found)
    misfits = list(never_attracted(design))
    for found in misfits:
        low.setdefault(found.part, found)
    never = {found.part for found in misfits}
    for found in low.values():
        yield _item(design, found, found.part in never)


def _fed(design: Design) -> Iterator[LowVoltage]:
    for points, moment in ((design.states, ""), (design.peaks, " while all its axes accelerate")):
        for state, point in points.items():
            yield from fed_loads(design, state, point, moment)


def requirements(design: Design) -> Requirements:
    """The conductors on the way to every load that a state feeds."""
    yield from _required(design, list(_fed(design)))


def _required(design: Design, rows: Sequence[LowVoltage]) -> Requirements:
    least = {row.part: row for row in sorted(rows, key=lambda row: (-row.least_v / row.volts, row.part), reverse=True)}
    starved = [Starved(row.part, row.volts, row.least_v, row.amps, row.what == PICKS_UP) for row in least.values()]
    for name, (area_mm2, part) in areas_that_feed(design, starved).items():
        why = f"{least[part].least_v:.3g} V must reach {part}"
        yield Requirement(RULE.slug, name, Quantity.AREA, area_mm2, why=why)


def _item(design: Design, low: LowVoltage, misfit: bool) -> Item:
    """A load by its source and what it needs; a coil that no state picks up answers for what it would feed as well."""
    source = feeding_source(design, low.part)
    rests = scope("part", low.part) | scope("supply", source) | scope("lost", low.part)
    holds = scope("part", low.part) | scope("misfit", *([low.part] if misfit else []))
    return Item((source, low.least_v, low.what), low, partial(_finding, design), holds, (rests,))


def _of_rail(design: Design, rows: Sequence[LowVoltage]) -> tuple[Edit, ...]:
    """Coils and loads for the voltage there is, where each says its own."""
    found: list[Edit] = []
    for row in rows:
        part = design.parts[row.part]
        kind = next((e.kind for e in part.of(Coil) if e.kind), "DC")
        key = "coil" if design.reading.node("parts", part.name, "coil") is not None else "rated"
        edits = for_voltage(design, part, key, row.volts, kind)
        if not edits:
            return ()
        found += edits
    return tuple(found)


def _thicker(design: Design, rows: Sequence[LowVoltage]) -> Iterator[Mend]:
    asks = tuple(_required(design, rows))
    if asks:
        yield Mend(f"Make {listed([ask.item for ask in asks])} thicker.", asks=asks)


def _finding(design: Design, rows: Sequence[LowVoltage]) -> Finding:
    worst = min(rows, key=lambda row: (row.volts, row.part))
    names = [row.part for row in rows]
    when = f"in state {worst.state}" if worst.state else "when it is switched on"
    source = _SOURCES.get(worst.what) or RULE.source(design.plan.rulebook)
    return RULE.finding(
        names,
        f"{listed(names)} get{'' if len(names) > 1 else 's'} {worst.volts:.3g} V {when}, "
        f"and {worst.part} {worst.what} {worst.least_v:.3g} V",
        design.place(worst.part),
        numbers=(Number("voltage", worst.volts, "V", f"across {worst.part}"),),
        limit=Limit(worst.least_v, "V", source) if source else None,
        mend=(
            *_thicker(design, rows),
            f"Feed {listed(names)} with a voltage that leaves {worst.least_v:.3g} V at the load.",
            Mend("Or take parts that are rated for the voltage of this rail.", _of_rail(design, rows)),
        ),
    )
