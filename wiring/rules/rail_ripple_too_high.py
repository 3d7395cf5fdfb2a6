"""An unregulated rail ripples more than its loads bear, because its capacitor is too small.

Between two peaks of the mains the capacitor alone feeds the load. From peak to peak it loses I / (2 f C), which should
stay below 15 % of the voltage (IEC 60204-1, 4.3.3, for converter supplies).

Fires on screw-axis at V1
    C1.capacitance=1 mF
Quiet
    C1.capacitance=4.7 mF
Not judged
    Rails on mains whose frequency is not given.
Known limits
    The upper bound is taken; the real ripple is somewhat smaller, because the capacitor is recharged early.
"""

from __future__ import annotations

from wiring.design.supply.unregulated import Unregulated
from wiring.findings import Number
from wiring.parts.bus import filter_capacitance
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204

RULE = Rule(
    slug="rail-ripple-too-high",
    title="Unregulated rail ripples too much",
    signal=Signal.CAUTION,
    harm="Drives drop out at full load, motors growl and lose torque.",
    sources=(
        ("iec", iec_60204("4.3.3")),
        ("na", Source("trade practice", "", "as IEC 60204-1, 4.3.3", Standing.COMMON_PRACTICE)),
    ),
)


def check(design: Design) -> Judgements:
    """Every rail behind a rectifier in its state of largest load."""
    allowed = limit("iec", "dc_ripple_peak_to_peak_max")
    for rail in design.unregulated:
        if rail.load_a <= 0.0 or isinstance(allowed, NotTabled):
            continue
        if design.plan.mains is None or design.plan.mains.frequency is None:
            yield RULE.not_judged((rail.rectifier,), "the frequency of the mains (`mains: {frequency: …}`)")
        elif rail.ripple_v is None or rail.ripple_v > allowed.value * rail.loaded_v:
            yield _finding(design, rail, allowed.value * rail.loaded_v, allowed)


def _finding(design: Design, rail: Unregulated, bears_v: float, allowed: Limit) -> Judgement:
    hertz = design.plan.mains.frequency if design.plan.mains and design.plan.mains.frequency else 50.0
    needed = filter_capacitance(rail.loaded_v, rail.load_a, 60.0 if hertz == 60.0 else 50.0)
    ripple = "without a capacitor" if rail.ripple_v is None else f"{rail.ripple_v:.3g} V from peak to peak"
    return RULE.finding(
        (rail.rectifier,),
        f"The rail of {rail.rectifier} ripples {ripple} at {rail.load_a:.3g} A in state {rail.state}, "
        f"and {bears_v:.3g} V are allowed",
        design.place(rail.rectifier),
        numbers=(
            Number("load", rail.load_a, "A", f"state {rail.state}"),
            Number("capacitance", rail.capacitance_f, "F", "capacitors and drives on the rail"),
        ),
        limit=Limit(bears_v, "V", allowed.source, f"{100 * allowed.value:.0f} % of {rail.loaded_v:.3g} V"),
        mend=(f"Put {1e6 * needed:.0f} µF behind {rail.rectifier}, which keeps about a tenth of ripple.",),
    )
