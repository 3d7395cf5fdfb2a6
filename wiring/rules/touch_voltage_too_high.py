"""In a TT system metal stays at a dangerous voltage, because of the electrode or for want of a residual current device.

The current of an earth fault returns through the electrode of the machine. A residual current device opens at its
residual current: below it the metal stands at that current times the resistance of the electrode for as long as it
likes, and that must be no more than 50 V. What lies ahead of the first residual current device is cleared by
overcurrent alone, for which an electrode lets too little pass; a metal cabinet around it needs such a device at the
origin.

Fires on sorting-gate at F1
    mains.earthing=TT
    mains.electrode=30 ohm
    mains.rcd=none
Quiet
    mains.rcd={residual: 300 mA, type: A}
Not judged
    A TT system without the resistance of its electrode (`mains: {electrode: 30 ohm}`), and one that does not say
    whether a residual current device of the building stands in front.
Known limits
    The measured loop stands for the electrode where that is not given: it is a little more. What is laid with double
    insulation up to the first device may do without one in front: accept the finding with that as the reason.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.earth.electrode import (
    BUILDING,
    earth_fault_a,
    has_metal,
    opens_by_overcurrent,
    residual_currents,
    unguarded,
)
from wiring.design.fault.disconnection import TOUCH_V, electrode_ohm
from wiring.design.fault.earth_faults import largest_residual_ma
from wiring.findings import Number
from wiring.quantities import show
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.rules.words import amperes
from wiring.wording import listed

RULE = Rule(
    slug="touch-voltage-too-high",
    title="Metal stays at a dangerous voltage on an earth electrode",
    signal=Signal.WARNING,
    harm="Whoever touches the cabinet while a conductor lies against it is the way to earth.",
    sources=(("iec", Source("IEC 60364-4-41", "2005+A1:2017", "411.5.2, 411.5.3", Standing.FROM_MEMORY)),),
)
_PRODUCT = Source("IEC 60364-4-41", "2005+A1:2017", "411.5.3", Standing.FROM_MEMORY)


def check(design: Design) -> Judgements:
    """Every residual current device by its current, and what lies ahead of all of them."""
    mains = design.plan.mains
    if mains is None or mains.earthing != "TT" or design.plan.rulebook != "iec":
        return
    ahead, ohm, inlet = unguarded(design), electrode_ohm(design.machine), [mains.inlet] if mains.inlet else []
    if mains.rcd is None and has_metal(design):
        yield RULE.not_judged(
            inlet, "whether a residual current device of the building stands in front (`mains: {rcd: …}`, or `none`)"
        )
    if ohm is None:
        yield RULE.not_judged(inlet, "the resistance of the earth electrode (`mains: {electrode: 30 ohm}`)")
        return
    by_current: dict[float, list[str]] = {}
    for name, residual_a in residual_currents(design).items():
        if residual_a * ohm > TOUCH_V * (1 + 1e-9):
            by_current.setdefault(residual_a, []).append(name)
    for residual_a, names in by_current.items():
        yield _too_many_ohms(design, names, residual_a, ohm)
    if mains.rcd == "none" and has_metal(design) and ahead and not opens_by_overcurrent(design):
        yield _unguarded(design, ahead, ohm)


def _too_many_ohms(design: Design, names: list[str], residual_a: float, ohm: float) -> Judgement:
    parts = [name for name in names if name != BUILDING]
    volts, verb = residual_a * ohm, "opens" if len(names) == 1 else "open"
    who = " and ".join([*([listed(parts)] if parts else []), *([BUILDING] if BUILDING in names else [])])
    return RULE.finding(
        parts or ("mains",),
        f"Metal may stand at {volts:.3g} V for ever: {show(ohm, 'resistance')} of the electrode times "
        f"{amperes(residual_a)}, at which {who} {verb}",
        design.place(parts[0], "residual") if parts else design.reading.place("mains", "rcd"),
        numbers=(
            Number("touch voltage", volts, "V", who),
            Number("electrode", ohm, "ohm", "measured, or as the plan says"),
        ),
        limit=Limit(TOUCH_V, "V", _PRODUCT, "resistance of the electrode times residual current"),
        mend=_ways(design, who, residual_a),
    )


def _ways(design: Design, who: str, residual_a: float) -> Iterator[str]:
    yield f"Make the electrode {show(TOUCH_V / residual_a, 'resistance')} or less: a longer rod, or more of them."
    most_ma = largest_residual_ma(design)
    if most_ma is not None:
        yield f"Or take {most_ma} mA in place of {amperes(residual_a)} for {who}."


def _unguarded(design: Design, ahead: tuple[str, ...], ohm: float) -> Judgement:
    amps = earth_fault_a(design)
    return RULE.finding(
        ahead,
        f"A fault to the cabinet at {listed(ahead)}, ahead of every residual current device, draws {amperes(amps)} "
        f"through the electrode of {show(ohm, 'resistance')}, and nothing opens in time: the metal stays live",
        design.place(ahead[0]),
        numbers=(Number("fault current", amps, "A", "voltage to earth over the electrode"),),
        mend=(
            "Put a residual current device at the origin, in the building, and write it under `mains: {rcd: …}`.",
            "Or lay everything up to the first one with double insulation, and accept this with that as the reason.",
        ),
    )
