"""No operating point exists at which the loads of a network get their power.

Loads of constant power draw more current the lower their voltage is. Beyond a certain resistance of the way to them no
current brings them their power: their voltage collapses until something drops out. No voltages are printed for such a
network; the loads that hang on it are named instead. The same holds where the method cannot tell.

Fires on sorting-gate at A1
    parts.E1={kind: load, rated: 24 V DC 60 W}
    wires+={wire: 35, from: X1:8, to: E1:1, size: 0.75 mm2, length: 120 m}
    wires+={wire: 36, from: X2:9, to: E1:2, size: 0.75 mm2, length: 120 m}
Quiet
    35.length=1 m
    36.length=1 m
Not judged
    Nothing of its own.
Known limits
    A supply that is asked for more than it can give is told by `supply-overloaded`, and the loads behind it are not
    told again here.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.design.supply.feeding_conductors import Starved, areas_that_feed
from wiring.design.supply.undervoltage import at_half_voltage, parts_without_point, source_in_front
from wiring.findings import Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="network-undecided",
    title="The feed cannot carry its loads",
    signal=Signal.WARNING,
    harm="The machine does not run in this state, and what it does instead is not known.",
    sources=(("both", Source("circuit theory", "", "largest power through a resistance, V²/4R", Standing.COMPUTED)),),
)


def check(design: Design) -> Judgements:
    """Every part that has no operating point in some state, told together for its source."""
    stuck: dict[str, str] = {}
    for state, point in design.states.items():
        for layer in (point.dc, point.ac):
            for part in parts_without_point(layer):
                stuck.setdefault(part, state)
    for part, state in stuck.items():
        source = source_in_front(design, part)
        rests = scope("part", part) | scope("supply", source)
        yield Item(source, (part, state), partial(_finding, design, source), rests=(rests,))


def requirements(design: Design) -> Requirements:
    """The conductors on the way to every part that takes power."""
    yield from _required(design, at_half_voltage(design))


def _required(design: Design, loads: Sequence[Starved]) -> Requirements:
    for name, (area_mm2, part) in areas_that_feed(design, loads).items():
        why = f"{part} must get its power"
        yield Requirement(RULE.slug, name, Quantity.AREA, area_mm2, why=why)


def _finding(design: Design, source: str, rows: Sequence[tuple[str, str]]) -> Finding:
    names = sorted(part for part, _ in rows)
    state = min(rows)[1]
    feed = f"from {source} " if source in design.parts else ("from the mains " if source else "")
    shorts = [short for name in names for short in design.short_circuits.at_part.get(name, ())]
    worst = max(shorts, key=lambda short: short.hot_ohm, default=None)
    numbers: tuple[Number, ...] = ()
    if worst is not None:
        most = worst.volts**2 / (4.0 * worst.hot_ohm)
        numbers = (
            Number("way there and back", worst.hot_ohm, "ohm", f"to {worst.node[0]}, conductors warm"),
            Number("most it can pass", most, "W", f"at {worst.volts:.3g} V"),
        )
    return RULE.finding(
        (*names, *((source,) if source in design.parts else ())),
        f"In state {state} no voltage exists at which {listed(names)} get{'' if len(names) > 1 else 's'} "
        f"{'their' if len(names) > 1 else 'its'} power {feed}over the wires given",
        design.place(names[0]),
        numbers=numbers,
        mend=(
            Mend(
                f"Make the conductors to {listed(names)} thicker or shorter.",
                asks=tuple(_required(design, [load for load in at_half_voltage(design) if load.part in names])),
            ),
            "Or feed them with a higher voltage through a converter beside them.",
        ),
    )
