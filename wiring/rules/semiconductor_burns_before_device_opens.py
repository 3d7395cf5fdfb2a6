"""A short circuit behind a semiconductor relay destroys it before the device ahead opens.

A junction bears a Joule integral of its own, mostly far below that of the wires. What the fuse or breaker ahead lets
through on the strongest short circuit is compared with it: what the plan gives of a fuse (`i2t`), else what its
standard allows. A relay that is destroyed stays closed, and what it switched stays on. Behind a breaker that is common,
and told as a notice: IEC 60947-4-3 leaves the relay to be replaced then (type 1); a fuse for semiconductors saves it.

Fires on fan-heater at V1
    parts.V1={kind: solid-state-relay, control: 80..280 V AC, rated: 25 A, rated_voltage: 24..280 V AC, i2t: 72 A2s}
    7.to=V1:1
    wires+={wire: 20, from: V1:2, to: E1:1, type: line}
    wires+={wire: 21, from: S1:14, to: V1:A1, type: control}
    wires+={wire: 22, from: V1:A2, to: T1:2.2, type: control}
Quiet
    V1.i2t=3000 A2s
Not judged
    A relay whose `i2t` is not given, and one behind no device.
Known limits
    The poles of an inverter or a drive protect themselves.
"""

from __future__ import annotations

from wiring.design.fault.semiconductors import BurntSemiconductor, burnt_semiconductors, unknown_semiconductors
from wiring.findings import Cause, Number
from wiring.parts.protection import Fuse
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.rules.words import amperes, device_called, joule_integral

RULE = Rule(
    slug="semiconductor-burns-before-device-opens",
    title="Short circuit destroys a semiconductor relay before its device opens",
    signal=Signal.CAUTION,
    harm="The relay fails closed, and what it switched stays on until something else opens.",
    sources=(("both", Source("IEC 60947-4-3", "2014", "8.2.5, coordination", Standing.FROM_MEMORY)),),
)


def check(design: Design) -> Judgements:
    """Every semiconductor relay on its strongest short circuit."""
    for one in burnt_semiconductors(design):
        yield _finding(design, one)
    yield from RULE.ask(unknown_semiconductors(design), "the Joule integral that they survive (`i2t: 1800 A2s`)")


def _finding(design: Design, one: BurntSemiconductor) -> Judgement:
    known = design.short_circuits.known.get(one.device)
    part = design.parts.get(one.device)
    fused = part is not None and isinstance(part.data, Fuse)
    because = [Cause(design.place(part.name), str(known))] if part is not None and known is not None else []
    called = device_called(design, one.device, first=True)
    return RULE.finding(
        (one.part, *([one.device] if part is not None else ())),
        f"{called} lets {joule_integral(one.energy)} through at {amperes(one.amps)}, and {one.part} bears "
        f"{joule_integral(one.bears)}",
        design.place(one.part, "i2t"),
        signal=RULE.signal if fused else Signal.NOTICE,
        because=because,
        numbers=(Number("let through", one.energy, "A2s", "of the plan" if one.stated else str(known or one.device)),),
        limit=Limit(one.bears, "A2s", RULE.sources[0][1]),
        mend=(f"Take a relay for {one.part} of a higher Joule integral, or a fuse for semiconductors ahead of it.",),
    )
