"""An unregulated rail stands higher at no load than a part on it bears.

Behind a transformer and a rectifier nothing holds the voltage. Without load the transformer stands higher by its
regulation, the mains may be ten per cent high, and the capacitor charges to the peak: V = sqrt(2) Vac (1 + regulation)
(1 + 10 %) - the drop of the diodes. Machines stand at no load every time they are switched on.

Fires on screw-axis at D1
    T1.secondary=35 V AC
    D1.bus_limit=50 V
Quiet
    T1.secondary=30 V AC
Not judged
    Rails on which no part says what it bears.
Known limits
    A transformer without `regulation` is taken at 8 %. A part that even the loaded rail overdrives is told by
    `part-voltage-exceeded`.
"""

from __future__ import annotations

from wiring.design.supply.unregulated import HIGHEST_MAINS, Bearer, Unregulated
from wiring.findings import Cause, Number
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.steps import rounded_down
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204

RULE = Rule(
    slug="rail-too-high-at-no-load",
    title="Unregulated rail stands too high at no load",
    signal=Signal.CAUTION,
    harm="Drives and capacitors die when the machine is first switched on, or on a quiet night.",
    sources=(
        ("iec", iec_60204("4.3.2, mains up to 10 % high")),
        ("na", Source("trade practice", "", "mains up to 10 % high", Standing.COMMON_PRACTICE)),
    ),
)
_DATA = Source("data of the part", "", "highest voltage", Standing.ONE_SOURCE)


def check(design: Design) -> Judgements:
    """Every rail behind a rectifier, against the weakest part on it."""
    for rail in design.unregulated:
        if not rail.bearers:
            yield RULE.not_judged((rail.rectifier,), "what the parts on its rail bear (`supply`, `rated_voltage`)")
            continue
        bearers = [row for row in rail.bearers if row.volts >= rail.loaded_v or row.key in ("supply", "bus_limit")]
        weakest = min(bearers, key=lambda row: (row.volts, row.part), default=None)
        if weakest is not None and rail.highest_v > weakest.volts * (1 + 1e-9):
            yield _finding(design, rail, weakest)


def _finding(design: Design, rail: Unregulated, weakest: Bearer) -> Judgement:
    lower = rail.ac_v * weakest.volts / rail.highest_v
    feed = rail.transformer or rail.rectifier
    others = [row.part for row in rail.bearers if row.volts < rail.highest_v and row.part != weakest.part]
    return RULE.finding(
        (weakest.part, *others, feed),
        f"The rail of {rail.rectifier} stands at {rail.highest_v:.3g} V at no load and high mains, "
        f"and {weakest.part} bears {weakest.volts:.3g} V",
        design.place(feed, "secondary") if rail.transformer else design.place(feed),
        because=[Cause(design.place(weakest.part, weakest.key), "what it bears")],
        numbers=(
            Number(
                "at no load",
                rail.highest_v,
                "V",
                f"mains {100 * (HIGHEST_MAINS.value - 1.0):.0f} % high",
                HIGHEST_MAINS.source,
            ),
            Number("alternating", rail.ac_v, "V", f"regulation {100 * rail.regulation:.3g} %"),
        ),
        limit=Limit(weakest.volts, "V", _DATA),
        mend=(
            f"Take {rounded_down(lower):.3g} V AC or less for {feed}.",
            f"Or take a part for {weakest.part} that bears {rail.highest_v:.3g} V.",
        ),
    )
