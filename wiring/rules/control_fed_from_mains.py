"""AC control circuits hang on the mains itself instead of on a transformer or a supply.

A control circuit with more than one coil is fed from a winding of its own: a first earth fault then finds no way
through the mains, the fault current is small, and the contacts switch a lower voltage. A machine with one starter and
two control devices may do without.

Fires on sorting-gate at K2
    parts.K2={kind: contactor, poles: 1, coil: 230 V AC 3 W}
    parts.K3={kind: contactor, poles: 1, coil: 230 V AC 3 W}
    wires+={wire: 40, through: [F1:2, K2:A1, K3:A1], type: line}
    wires+={wire: 41, through: [Q1:4, K2:A2, K3:A2], type: neutral}
Quiet
    parts.K3=
    40.through=[F1:2, K2:A1]
    41.through=[Q1:4, K2:A2]
Not judged
    Nothing: what a coil hangs on is always known.
Known limits
    Coils of contactors and relays are counted; valves and brakes are loads. DC control needs no transformer here: the
    isolation of a supply is part of its kind.
"""

from __future__ import annotations

from wiring.circuit.roles import Role
from wiring.findings import Cause, Number
from wiring.parts.elements import Coil
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.rules.rule import Design, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="control-fed-from-mains",
    title="Control circuits hang on the mains itself",
    signal=Signal.CAUTION,
    harm="One earth fault can start the machine or hold it on, and its current is that of the mains.",
    sources=(("iec", iec_60204("9.1.1", Standing.ONE_SOURCE)), ("na", nfpa_79("9.1.1"))),
)
_SWITCHED = (Coiled, SafetyRelay)
_MAINS = (Role.LIVE, Role.NEUTRAL)
#: Coils that a machine without a control transformer may have: that of its one starter.
_COILS_MOST = 1


def check(design: Design) -> Judgements:
    """All coils on the mains together."""
    found = sorted(
        {
            part.name
            for part, coil in design.circuit.elements(Coil)
            if isinstance(coil, Coil)
            and isinstance(part.data, _SWITCHED)
            and coil.kind == "AC"
            and all(design.roles.role[part.name, end] in _MAINS for end in (coil.a, coil.b))
        }
    )
    if len(found) <= _COILS_MOST:
        return
    yield RULE.finding(
        found,
        f"The coils of {', '.join(found[:6])}{' …' if len(found) > 6 else ''} hang on the mains itself",
        design.place(found[0], "coil"),
        because=[Cause(design.place(name, "coil"), "on the mains as well") for name in found[1:]],
        numbers=(Number("coils", float(len(found)), "", "on the mains"),),
        limit=RULE.limit(design, float(_COILS_MOST), "", "one starter and two control devices"),
        mend=("Feed them from a control transformer with one side earthed, or take 24 V DC coils and a supply.",),
    )
