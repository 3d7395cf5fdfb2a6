"""A terminal that must be used has no conductor.

Told of a part that is wired in part: one end of a coil, a load or an input is connected and the other is not, a phase
of a motor is missing, a supply terminal stays open beside one that is used, a contact has one side wired, a sensor
reports to nobody, a stepper drive gets no pulses or no direction, an arrester has no earth to lead a surge to, a fuse,
a breaker or one pole of a contactor stands beside a way that feeds its load past it. A conductor that leads to a row
of terminals or a plug and no further counts as none, unless it is titled `spare`.

A part without any conductor is told by `part-unconnected`, a missing protective conductor by `earth-missing`, and a
mirror contact in a reset loop by the rules on that stop. A signal input whose return alone is wired, as in a chain of
returns, is a NOTICE.

Fires on sorting-gate at K1
    9=
Quiet
    wires+={wire: 9, from: K1:A2, to: X2:3, type: control}
Not judged
    Outputs and inputs that are wired at neither end, or to a row of terminals only: they may be spare.
Known limits
    A contact that is wired on both sides to terminals alone is taken for one that leaves the plan, and a main pole of a
    contactor with one conductor at one side for one that is not used.
"""

from __future__ import annotations

from collections.abc import Mapping

from wiring.circuit.model import named
from wiring.design.connection.open_ends import fed_through, wired_again
from wiring.design.connection.open_terminals import is_chain_return
from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.parts.elements import Function
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import agreeing, does

RULE = Rule(
    slug="terminal-open",
    title="Terminal that must be used is open",
    signal=Signal.CAUTION,
    harm="The part does nothing, or does it wrongly: a motor on two phases, an input that never answers.",
    sources=(("iec", iec_60204("17.2, 18.1")), ("na", nfpa_79("17.1, 18.1"))),
)


def check(design: Design) -> Judgements:
    """Every part that is wired at all; a phase that is open at both its ends is told at the motor."""
    found = [(design.parts[name], bare) for name, bare in design.machine.open_terminals.items()]
    open_motors = {part.name for part, _ in found if part.data.is_motor}
    for part, bare in found:
        axis = design.axes.get(part.name)
        phases = all(part.terminals[name].function is Function.MOTOR for name in bare)
        if not (phases and axis and any(motor.name in open_motors for motor in axis.motors)):
            yield _finding(design, part, bare)


def _finding(design: Design, part: Part, bare: Mapping[str, str]) -> Judgement:
    names = ", ".join(named((part.name, name)) for name in bare)
    wired = sorted({named((part.name, name)) for name in bare.values() if name})
    beside = f" while {does(wired, 'is', 'are')} wired" if wired else ", and the part is wired to do something"
    conductors = [c for name in bare.values() if name for c in design.circuit.conductors_at((part.name, name))]
    leads = all((part.name, name) in design.nets.joined for name in bare)
    problem = agreeing(bare, "leads", "lead") if leads else agreeing(bare, "has", "have")
    problem += " to terminals and no further" if leads else " no conductor"
    if part.name in design.devices.by_name:
        words = f"Lead the conductor that feeds {', '.join(wired)} to {names}."
        return RULE.finding(
            (part.name,),
            f"{part.name} protects nothing: {does(wired, 'is', 'are')} fed past it, and {names} {problem}",
            design.place(part.name),
            mend=(Mend(words, fed_through(design, part, bare)),),
        )
    return RULE.finding(
        (part.name,),
        f"{names} {problem}{beside}",
        design.place(part.name),
        signal=Signal.NOTICE if is_chain_return(design.circuit, design.nets, part, bare) else RULE.signal,
        mend=(
            Mend(
                f"Wire {names}{' on to where it belongs' if leads else ''}"
                + (f", or take {conductors[0].id} away if the input is not used." if conductors else "."),
                wired_again(design, part, bare),
            ),
        ),
    )
