"""A drive gets pulses at an input for something else, or the pulses of another axis.

What an output of a card gives and what an input of a drive takes are known by their functions: step, direction, enable.
So with run and reverse, which one conductor must not tell at once, and with run or enable and reset: a start must not
take back the faults of the drive (IEC 60204-1, 7.3: no restart by itself after a protection has acted).
Where they differ the axis stands, or moves by its direction signal. A card that numbers its axes (STEP1, DIR1 …) gives
the steps of one axis to one drive: with those of another it moves when the other should, in a sense that nobody asked
for.

Fires on sorting-gate at D1
    A1.outputs={O1: pnp, O2: pnp, O3: pnp, O4: pnp, O5: pnp}
    A1.functions={O4: direction, O5: step}
    D1.functions={STEP+: step, DIR+: direction}
    wires+={wire: 31, from: A1:O4, to: D1:STEP+, type: control}
    wires+={wire: 32, from: A1:O5, to: D1:DIR+, type: control}
    wires+={wire: 33, from: D1:STEP-, to: X2:9, type: control}
    wires+={wire: 34, from: D1:DIR-, to: X2:10, type: control}
Quiet
    31.to=D1:DIR+
    32.to=D1:STEP+
Not judged
    Outputs without a function in the plan; cards that do not number every output of an axis alike.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.connection.crossed_signals import (
    Opposed,
    crossed_commands,
    crossed_pulses,
    mixed_axes,
    opposed_inputs,
)
from wiring.findings import Mend
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="drive-pulses-crossed",
    title="Drive gets pulses that are not its own",
    signal=Signal.CAUTION,
    harm="The axis stands still, or moves when another one should and the wrong way.",
    sources=(("iec", iec_60204("17.2")), ("na", nfpa_79("17.5"))),
)


def check(design: Design) -> Judgements:
    """Each drive, once for its inputs and once for its axis."""
    crossed: dict[str, list[str]] = {}
    for one in (*crossed_pulses(design), *crossed_commands(design)):
        words = f"{named(one.gives)} ({one.means}) leads to {named(one.takes)} ({one.wants})"
        crossed.setdefault(one.takes[0], []).append(words)
    for drive, told in crossed.items():
        yield RULE.finding(
            (drive,),
            "; ".join(told),
            design.place(drive),
            mend=(Mend("Lead each output to the input of its own function."),),
        )
    yield from (_opposed(design, one) for one in opposed_inputs(design))
    for mixed in mixed_axes(design):
        names = ", ".join(named(node) for node, _ in mixed.numbers)
        numbers = " and ".join(dict.fromkeys(number for _, number in mixed.numbers))
        yield RULE.finding(
            (mixed.drive, mixed.numbers[0][0][0]),
            f"{mixed.drive} gets pulses of the axes {numbers}: {names}",
            design.place(mixed.drive),
            mend=(f"Lead all pulses of one axis to {mixed.drive}.",),
        )


def _opposed(design: Design, one: Opposed) -> Judgement:
    first, second = f"{one.drive}:{one.first}", f"{one.drive}:{one.second}"
    what = (
        "takes its faults back with every start: an overload or a short is driven into again and again"
        if "reset" in one.words
        else "is told to run both ways at once"
    )
    return RULE.finding(
        (one.drive,),
        f"{first} ({one.words[0]}) and {second} ({one.words[1]}) are joined, and {one.drive} {what}",
        design.place(one.drive),
        mend=(f"Lead {first} and {second} to an output each.",),
    )
