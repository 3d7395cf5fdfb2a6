"""A thermal cut-out and what keeps the temperature act on one and the same contactor or semiconductor relay.

A thermostat works its contactor every few minutes, for years, and one day the contacts weld. The heat then goes on, and
the cut-out that is there for just this opens the coil of a contactor that no longer listens. Each pair of control and
protection needs a switching device of its own for each: the weld of one must leave the other one able to open
(ISO 13849-1, 6.2.6; IEC 60204-1, 7.4). A semiconductor relay is a control that fails closed more often than open: a
cut-out in its input, or in what feeds that, then opens nothing that matters. Every contactor and semiconductor relay is
held in while the cut-out opens, and while each control does: a thermostat, an output of a program or another relay.

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
from wiring.parts.switching import SolidStateRelay
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.wording import does, listed

RULE = Rule(
    slug="cut-out-shares-contactor",
    title="Cut-out and control act on one contactor or semiconductor",
    signal=Signal.WARNING,
    harm="It welds or fails closed, the heat goes on, and the cut-out opens what nothing depends on any more.",
    sources=(
        ("iec", iec_60204("7.4")),
        ("na", nfpa_79("7.4")),
        ("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Judgements:
    """Every device that, stuck, defeats a cut-out and the control beside it, told together for each cut-out."""
    for one in shared_contactors(design.machine, design.operation):
        yield Item(one.cut_out, one, partial(_finding, design), rests=(scope("part", one.cut_out),))


def _finding(design: Design, rows: Sequence[SharedContactor]) -> Finding:
    first, names = rows[0], [row.contactor for row in rows]
    controls = list(dict.fromkeys(control for row in rows for control in row.controls))
    parts = [name for name in controls if name in design.parts and name not in names]
    past = ("it", "both", "all of them")[min(len(controls), 2)]
    by = f" and by {listed(controls)}" if controls else ""
    keeps = f"; {does(controls, 'keeps', 'keep')} {names[0]}" if controls else ""
    return RULE.finding(
        (*names, first.cut_out, first.protects, *parts),
        f"{does(names, 'is', 'are')} opened by {first.cut_out}{by}: when {_stuck(design, names)}, {first.protects} "
        f"stays fed past {past}",
        design.place(names[0]),
        because=(Cause(design.place(first.cut_out), f"opens nothing but what turns {' and '.join(names)} on"),),
        mend=(
            f"Give {first.cut_out} a contactor of its own in series with {names[0]}, or lead {first.protects} itself "
            f"through its contact{keeps}.",
        ),
    )


def _stuck(design: Design, names: Sequence[str]) -> str:
    """How each of them sticks: contacts weld, a semiconductor fails closed."""
    failed = [name for name in names if isinstance(design.parts[name].data, SolidStateRelay)]
    welded = [name for name in names if name not in failed]
    said = [f"the contacts of {' or '.join(welded)} weld"] if welded else []
    return " or ".join([*said, *([f"{' or '.join(failed)} fails closed"] if failed else [])])
