"""The outcome of the control circuit depends on which contact is faster.

Two coils that each lock out the other start at once: which of them wins is a matter of milliseconds, and changes with
age and temperature.

Fires on hot-wire at K3
    parts.K3={kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {21-22: NC}}
    parts.K4={kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {21-22: NC}}
    wires+={wire: 14, through: [K0:A1, K3:21, K4:21], type: control}
    wires+={wire: 15, through: [K0:A2, K3:A2, K4:A2], type: control}
    wires+={wire: 16, from: K3:22, to: K4:A1, type: control}
    wires+={wire: 17, from: K4:22, to: K3:A1, type: control}
Quiet
    17.from=K0:A1
Not judged
    Bounce of contacts, and times within one switching.
"""

from __future__ import annotations

from wiring.design.switching.unrest import unrests
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice
from wiring.wording import listed

RULE = Rule(
    slug="control-race",
    title="Outcome depends on which contact is faster",
    signal=Signal.CAUTION,
    harm="A circuit that behaves today may start the other motor tomorrow.",
    sources=(("both", trade_practice("relay circuits")),),
)


def check(design: Design) -> Judgements:
    """One finding for the machine; without a stop that shows it, one for each group of coils and state."""
    devices = tuple(device for device, word in design.unfaulted.unrest if word == "race")
    groups = [group for group in unrests(design.operation.reachability, design.states) if group.rests]
    if devices:
        parts = tuple(dict.fromkeys(name for group in groups for name in group.parts))
        which = f" of {listed(parts)}" if parts else ""
        yield RULE.finding(
            (*parts, *devices),
            f"With {' or '.join(devices)}, what runs afterwards depends on which contact{which} is faster",
            design.place((*parts, *devices)[0]),
            mend=("Give one of the coils a condition of its own, so that never both start at once.",),
        )
        return
    for group in groups:
        yield RULE.finding(
            (*group.parts, group.state),
            f"Which of {listed(group.parts)} is in in state {group.state} depends on which contact is faster",
            design.place(group.parts[0]),
            mend=("Give one of the coils a condition of its own, so that never both start at once.",),
        )
