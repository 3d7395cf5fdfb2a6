"""A thermal cut-out and what keeps the temperature act on one and the same contactor.

A thermostat works its contactor every few minutes, for years, and one day the contacts weld. The heat then goes on, and
the cut-out that is there for just this opens the coil of a contactor that no longer listens. Each pair of control and
protection needs a switching device of its own for each: the weld of one must leave the other one able to open
(ISO 13849-1, 6.2.6; IEC 60204-1, 7.4). Every contactor is held in while the cut-out opens, and while each control
does: a thermostat, an output of a program or a semiconductor switch.

Fires on hot-wire at K3
    parts.K3={kind: contactor, poles: 1, coil: 24 V DC 3 W}
    parts.B2={kind: thermostat, contacts: {1-2: NC}, purpose: heating}
    parts.F3={kind: thermal-cut-out, contacts: {11-12: NC}, protects: E1}
    20.to=K3:1
    wires+={wire: 22, from: K3:2, to: E1:1, type: work}
    wires+={wire: 23, from: F2:2, to: B2:1, type: control}
    wires+={wire: 24, from: B2:2, to: F3:11, type: control}
    wires+={wire: 25, from: F3:12, to: K3:A1, type: control}
    wires+={wire: 26, from: K3:A2, to: G1:V-, type: control}
Quiet
    22.to=F3:11
    24.to=K3:A1
    25.to=E1:1
Not judged
    A cut-out whose part no state feeds, which `cut-out-without-effect` asks.
Known limits
    An overload relay that opens the contactor of its own motor is right: the motor is worked by hand, not by it. What
    one controller does with a second output is a matter of its program.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.design.switching.cut_outs import SharedContactor, shared_contactors
from wiring.findings import Cause, Finding
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.wording import does, listed

RULE = Rule(
    slug="cut-out-shares-contactor",
    title="Cut-out and control act on one contactor",
    signal=Signal.WARNING,
    harm="The contactor welds, the heat goes on, and the cut-out opens a circuit that nothing depends on any more.",
    sources=(
        ("iec", iec_60204("7.4")),
        ("na", nfpa_79("7.4")),
        ("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Judgements:
    """Every contactor whose weld defeats a cut-out and the control beside it, told together for each cut-out."""
    for one in shared_contactors(design.machine, design.operation):
        yield Item(one.cut_out, one, partial(_finding, design), rests=(scope("part", one.cut_out),))


def _finding(design: Design, rows: Sequence[SharedContactor]) -> Finding:
    first, names = rows[0], [row.contactor for row in rows]
    parts = [name for name in first.controls if name in design.parts]
    past = "both" if len(first.controls) == 1 else "all of them"
    return RULE.finding(
        (*names, first.cut_out, first.protects, *parts),
        f"{does(names, 'is', 'are')} opened by {first.cut_out} and by {listed(first.controls)}: when the contacts of "
        f"{' or '.join(names)} weld, {first.protects} stays fed past {past}",
        design.place(names[0]),
        because=(Cause(design.place(first.cut_out), f"opens nothing but the coil of {' and '.join(names)}"),),
        mend=(
            f"Give {first.cut_out} a contactor of its own in series with {names[0]}, or lead {first.protects} itself "
            f"through its contact; {does(first.controls, 'keeps', 'keep')} {names[0]}.",
        ),
    )
