"""Nothing limits the current of a conductor.

Every conductor that a source can feed needs a device, or a source that limits by itself, between the source and it.
A conductor behind a transformer, a rectifier or the mains without a device in front of it has none.

Fires on screw-axis at 1
    parts.F2=
    1.to=V1:AC1
    2=
Quiet
    parts.F2={kind: fuse, rating: 10 A, class: gG, rated_voltage: 250 V AC, breaking: 50 kA}
    1.to=F2:1
    wires+={wire: 2, from: F2:2, to: V1:AC1, type: secondary}
Not judged
    Conductors at the inlet, when the plan does not say which device stands in front of the machine.
Known limits
    A conductor of up to 3 m from a source to the first device is passed over (IEC 60204-1, 7.2.8).
"""

from __future__ import annotations

from math import inf

from wiring.design.device.source_fuses import fused_source, is_tap
from wiring.findings import Mend, Number
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="conductor-unprotected",
    title="Nothing limits the current of a conductor",
    signal=Signal.WARNING,
    harm="A short circuit flows until something burns open.",
    sources=(("iec", iec_60204("7.2.3", Standing.ONE_SOURCE)), ("na", nfpa_79("7.2.3"))),
)


def check(design: Design) -> Judgements:
    """Conductors whose protection has no limit, told together for each source."""
    open_ended: dict[str, list[str]] = {}
    for name, protection in design.protections.items():
        if protection.rating_a == inf and name in design.conductors:
            open_ended.setdefault(protection.part, []).append(name)
    for source, names in sorted(open_ended.items()):
        if source == "upstream":
            inlet = design.plan.mains.inlet if design.plan.mains else None
            yield RULE.not_judged(
                tuple(names),
                "the device in front of the machine (`mains: {upstream: {kind: …, rating: …}}`)",
                design.place(inlet) if inlet else None,
            )
            continue
        bare = [name for name in names if not is_tap(design, name)]
        if bare:
            yield _finding(design, source, bare)


def _finding(design: Design, source: str, names: list[str]) -> Judgement:
    conductor = design.circuit.conductor[names[0]]
    listed = ", ".join(names[:6]) + (" …" if len(names) > 6 else "")
    return RULE.finding(
        (*names, source),
        f"No device limits the current of {listed} behind {source}",
        conductor.place,
        numbers=(Number("conductors", float(len(names)), "", f"behind {source}"),),
        mend=(
            Mend(
                f"Put a fuse or breaker in the conductor that leaves {source}, no larger than the thinnest one behind "
                "it.",
                fused_source(design, source, names),
            ),
        ),
    )
