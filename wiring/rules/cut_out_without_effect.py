"""A thermal cut-out or an overload relay opens, and what it protects keeps its power.

Each is worked in every state that feeds its part: whatever its contact interrupts must take the power away, past every
output of a program that stays on; past a semiconductor relay that has failed closed `cut-out-shares-contactor` asks. An
overload relay opens none of its poles: it acts through its break contact alone. A cut-out whose contact is bridged,
left out, or lies in the circuit of a lamp protects nothing. A braking resistor keeps its power while its drive has any:
a chopper that has failed closed minds no run command and no safe torque off. A heater on the mains that semiconductors
or programs alone switch, with no cut-out at all, is told as well: they fail closed. Where nothing ties the mains to
earth and a load lies between two lines, both must open: the first fault to earth stays, and the second one feeds the
load from the line that is left.

Fires on hot-wire at F3
    parts.F3={kind: thermal-cut-out, contacts: {11-12: NC}, protects: E1}
    20.to=F3:11
    wires+={wire: 22, from: F3:12, to: E1:1, type: work}
    wires+={wire: 23, from: F3:11, to: F3:12, type: work}
Quiet
    23=
Not judged
    A cut-out that names no part under `protects`, and one whose part no state feeds. A heater on the mains that only a
    thermostat opens, or nothing; one of extra-low voltage that only a thermostat or a temperature controller opens.
Known limits
    Whether it opens at the right temperature, and whether it sits where the heat is.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.switching.cut_outs import CutOut, KeptAlone, cut_outs, kept_alone
from wiring.findings import Cause
from wiring.parts.heating import ThermalCutOut
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.rules.words import in_states
from wiring.wording import listed

RULE = Rule(
    slug="cut-out-without-effect",
    title="Protection against heat takes no power away",
    signal=Signal.WARNING,
    harm="The regulator sticks or the motor jams, the device opens, and the part burns on with the machine around it.",
    sources=(
        ("iec", iec_60204("7.3, 7.4")),
        ("na", nfpa_79("7.3, 7.4")),
    ),
)


def check(design: Design) -> Judgements:
    """Every cut-out and overload relay with each part that it protects."""
    for one in cut_outs(design.machine, design.operation):
        if not one.states:
            yield RULE.not_judged((one.part, one.protects), f"a state in which {one.protects} is fed")
        elif one.left:
            yield _finding(design, one)
        elif one.on_line:
            yield _on_one_line(design, one)
    for part in design.parts.values():
        if isinstance(part.data, ThermalCutOut) and not part.data.protects:
            yield RULE.not_judged((part.name,), "the part that it protects (`protects`)", design.place(part.name))
    for kept in kept_alone(design.machine, design.operation):
        yield _by_program(design, kept) if kept.by_program else _asked(design, kept)


def _asked(design: Design, kept: KeptAlone) -> Judgement:
    sticks = f" when {listed(kept.controls)} sticks" if kept.controls else ", which nothing else does"
    return RULE.not_judged(
        (kept.heater, *(name for name in kept.controls if name in design.parts)),
        f"what opens {kept.heater}{sticks}: a thermal cut-out with `protects: {kept.heater}`, or the reason why it "
        "needs none",
        design.place(kept.heater),
    )


def _by_program(design: Design, kept: KeptAlone) -> Judgement:
    return RULE.finding(
        (kept.heater, *(name for name in kept.controls if name in design.parts)),
        f"{kept.heater} has no protection against heat: when {listed(kept.controls)} stays closed, nothing opens it",
        design.place(kept.heater),
        mend=(
            f"Put a thermal cut-out with `protects: {kept.heater}` and a manual reset into its line, or into the coil "
            "of a contactor ahead of it.",
        ),
    )


def _finding(design: Design, one: CutOut) -> Judgement:
    on = [state for state in one.left if not _is_off(design, state, one.protects)]
    where = f"stays fed, {in_states(design, on)}" if on else f"can be fed all the same, as in state {one.left[0]}"
    return RULE.finding(
        (one.part, one.protects),
        f"{one.part} opens and {one.protects} {where}",
        design.place(one.part),
        because=(Cause(design.place(one.protects), "keeps its power"),),
        mend=(
            f"Lead the coil of the contactor that feeds {one.protects}, or {one.protects} itself, through the break "
            f"contact of {one.part} and through nothing past it.",
        ),
        rests=(scope("part", one.part),),
    )


def _on_one_line(design: Design, one: CutOut) -> Judgement:
    ends = listed([named(end) for end in one.on_line])
    return RULE.finding(
        (one.part, one.protects),
        f"{one.part} opens one line of {one.protects} and leaves {ends} on another; nothing here ends a first fault to "
        "earth, and the second one feeds it past the cut-out",
        design.place(one.part),
        signal=Signal.CAUTION,
        mend=(f"Lead the coil of a contactor that opens every line of {one.protects} through {one.part}.",),
        rests=(scope("part", one.part),),
    )


def _is_off(design: Design, state: str, name: str) -> bool:
    """Whether the plan turns a part off in a state, whatever its circuit does there."""
    entry = design.state_entries[state].get(name)
    return entry is not None and entry.mode == "off"
