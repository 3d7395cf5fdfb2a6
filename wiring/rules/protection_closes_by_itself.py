"""A protective device closes again by itself, and what it switched off starts.

A thermal cut-out, an overload relay, a breaker or a residual current device that closes without a hand (`reset: self`)
gives back the power while someone looks for the cause; one that keeps a heater from burning takes the place of the
regulator unseen, and cycles until it fails too. It is opened in every state, everything comes to rest with all buttons
let go, and it is closed: nothing that can hurt may live then. A contactor that holds itself, or a second cut-out for
the same part that stays open, makes it harmless. A drive whose reset input stays fed takes back its own faults.

Fires on fan-heater at F9
    parts.F9={kind: thermal-cut-out, contacts: {11-12: NC}, protects: E1, opens_at: 90 °C, reset: self}
    7.to=F9:11
    wires+={wire: 14, from: F9:12, to: E1:1, type: line}
Quiet
    F9.reset=manual
Not judged
    A cut-out whose plan does not say how it closes again (`reset`).
Known limits
    An output of a program is taken to stay on; whether the program notices is no part of the plan.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.switching.reclosing import Reclosing, ResetHeld, reclosing, resets_held
from wiring.findings import Cause, Mend
from wiring.parts.motors import Shaft
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.rules.words import in_states
from wiring.wording import does, listed

RULE = Rule(
    slug="protection-closes-by-itself",
    title="Protective device closes again by itself",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Someone looks for the cause, the device cools down, and the machine starts; or a heater without a regulator "
    "cycles at its last limit until that fails.",
    sources=(
        ("iec", iec_60204("7.3.1, 7.4")),
        ("na", nfpa_79("7.3, 7.4")),
        ("na", Source("NFPA 70", "2023", "430.43", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Judgements:
    """Every device that closes by itself."""
    for one in reclosing(design.machine, design.operation):
        if one.sure:
            yield _finding(design, one)
        else:
            yield RULE.not_judged(
                (one.part, *one.again),
                "how it closes again once it has opened (`reset: manual`, `one-shot` or `self`)",
                design.place(one.part),
            )
    for held in resets_held(design.machine, design.operation):
        yield _held(design, held)


def _held(design: Design, one: ResetHeld) -> Judgement:
    by = f" by {listed(one.by)}" if one.by else ""
    return RULE.finding(
        (one.drive, *one.by),
        f"{one.drive}:{one.terminal} takes back the faults of {one.drive} and stays fed{by}: it starts again by itself "
        "after a fault",
        design.place(one.drive),
        mend=(f"Lead {one.drive}:{one.terminal} to a button that springs back, or to an output for that alone.",),
    )


def _finding(design: Design, one: Reclosing) -> Judgement:
    moves = any(isinstance(design.parts[name].data, Shaft) for name in one.again)
    return RULE.finding(
        (one.part, *one.again),
        f"{one.part} closes again by itself, and {does(one.again, 'gets its', 'get their')} power back with no hand at "
        f"the machine, {in_states(design, one.states)}",
        design.place(one.part, "reset"),
        signal=Signal.WARNING if moves else RULE.signal,
        because=[Cause(design.place(name), "starts again") for name in one.again],
        mend=(
            Mend(f"Take {one.part} with a reset by hand.", of_part(one.part, "reset", "manual")),
            f"Or let a contactor that holds itself drop with {one.part}, so that a start of its own is needed.",
        ),
    )
