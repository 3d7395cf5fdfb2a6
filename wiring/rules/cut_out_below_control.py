"""A thermal cut-out opens at a temperature that the thermostat or controller beside it has yet to reach.

The cut-out is there for the day on which the control fails, so it stands above what the control keeps. At or below it,
it opens at every start: the machine never gets warm, and sooner or later somebody bridges what stands in its way.

Fires on hot-wire at F9
    parts.F9={kind: thermal-cut-out, contacts: {11-12: NC}, protects: E1, opens_at: 60 °C, reset: manual}
    parts.B9={kind: thermostat, contacts: {1-2: NC}, purpose: heating, switches_at: 70 °C}
    20.to=F9:11
    wires+={wire: 22, from: F9:12, to: B9:1, type: work}
    wires+={wire: 23, from: B9:2, to: E1:1, type: work}
Quiet
    F9.opens_at=110 °C
Not judged
    Cut-outs without `opens_at`, thermostats without `switches_at` and temperature controllers without `keeps`; other
    controllers, whose program sets the temperature.
"""

from __future__ import annotations

from wiring.design.switching.cut_outs import not_above
from wiring.findings import Cause, Number
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="cut-out-below-control",
    title="Cut-out opens below what the control keeps",
    signal=Signal.CAUTION,
    harm="The cut-out opens at every start, until somebody bridges it.",
    sources=(("iec", iec_60204("7.4")), ("na", nfpa_79("7.4"))),
)


def check(design: Design) -> Judgements:
    """Each cut-out with each thermostat that it does not stand above."""
    unknown: list[str] = []
    for one in not_above(design.machine, design.operation):
        if one.opens_c is None or one.keeps_c is None:
            unknown.append(one.cut_out if one.opens_c is None else one.control)
        else:
            yield _finding(design, one.cut_out, one.control, one.opens_c, one.keeps_c)
    yield from RULE.ask(unknown, "the temperature at which it switches (`opens_at`, `switches_at`, `keeps`)")


def _finding(design: Design, cut_out: str, control: str, opens_c: float, keeps_c: float) -> Judgement:
    return RULE.finding(
        (cut_out, control),
        f"{cut_out} opens at {opens_c:.0f} °C, and {control} heats up to {keeps_c:.0f} °C",
        design.place(cut_out, "opens_at"),
        because=(Cause(design.place(control, "switches_at"), "switches no lower"),),
        numbers=(Number("opens at", opens_c, "°C", cut_out), Number("keeps", keeps_c, "°C", control)),
        mend=(f"Take a cut-out for {cut_out} that opens well above {keeps_c:.0f} °C.",),
    )
