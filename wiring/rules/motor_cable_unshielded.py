"""The motor cable of an inverter, or of a servo drive on the mains, has no shield.

Its voltage steps by hundreds of volts in a fraction of a microsecond, thousands of times a second. Without a shield the
cable couples that into everything beside it, and the current that should flow back in the shield flows through frame
and earth: a filter ahead of the drive is worth nothing then. Makers of drives ask for the shield, and only with it do
they declare their emission (IEC 61800-3; IEC 60204-1, 4.4.2). Conductors in a conduit are taken as shielded by it.

Fires on mixer at C1
    C1.shield=
Quiet
    C1.shield={ends: [XPE:6, M1:PE], method: clamp}
Not judged
    Nothing: a cable of which no shield is said has none.
Known limits
    That a conduit is of metal and joined all along is not said in any plan. A filter at the output of a drive, behind
    which a plain cable may do, and single conductors outside a cable are not looked at.
"""

from __future__ import annotations

from wiring.design.conductor.drive_cables import drive_cables
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="motor-cable-unshielded",
    title="Motor cable of a drive has no shield",
    signal=Signal.CAUTION,
    harm="Signals beside it flicker: false limits, lost steps, a bus that fails, radio noise that fails every test.",
    sources=(("both", trade_practice("makers' manuals on motor cables")),),
)


def check(design: Design) -> Judgements:
    """Every cable on the motor side of such a drive."""
    routes = design.plan.routes
    for one in drive_cables(design.machine):
        route = routes.get(one.cable.route) if one.cable.route else None
        if one.cable.shield is not None or (route is not None and route.kind == "conduit"):
            continue
        name = one.cable.cable
        yield RULE.finding(
            (name, one.drive),
            f"{name} carries the switched voltage of {one.drive} and has no shield",
            design.reading.place("cables", one.index),
            mend=(
                f"Take a shielded cable for {name}, and clamp its shield all around at both ends (`shield`).",
                "Or lead it in a metal conduit of its own that is earthed at both ends (`kind: conduit` of its route).",
            ),
        )
