"""A stop, reset or start button has the colour of something else.

In danger people press by colour. What a button does is known where the plan's `stops` name it: the devices that call
for a stop, and the one that resets it. A button starts where a contactor that it switches on, over whatever contacts
lie between, holds itself in by a contact across the button's, and stops where its break contact lies on the way to a
coil that holds itself. Other buttons are the program's, and the plan does not
say what they do.

Fires on hot-wire at S2
    S2.colour=GN
Quiet
    S2.colour=BU
Not judged
    Such a button without a colour.
Known limits
    A button that only jogs, or starts through a program, is not told apart from others. The ground behind an emergency
    stop is for the inspection.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.stop.operator_colours import button_functions, colour_code, colour_words
from wiring.findings import Mend
from wiring.parts.operators import EmergencyStop, PushButton
from wiring.plan.colours import colour_name
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.operators import actuator_colours
from wiring.rules.rule import Design, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="operator-colour-wrong",
    title="Stop, reset or start button has the wrong colour",
    signal=Signal.CAUTION,
    harm="In danger a hand goes to the wrong button, or starts what it wanted to stop.",
    sources=(("iec", iec_60204("10.2.1", Standing.CONFIRMED)), ("na", nfpa_79("10.2"))),
)


def check(design: Design) -> Judgements:
    """Every button of which the plan shows what it does."""
    blank: list[str] = []
    for name, functions in sorted(button_functions(design).items()):
        data = design.parts[name].data
        assert isinstance(data, EmergencyStop | PushButton)
        tabled = [actuator_colours(design.plan.rulebook, function) for function in functions]
        known = [one for one in tabled if not isinstance(one, NotTabled)]
        right = [code for code in known[0].colours if all(code in one.colours for one in known)] if known else []
        if not right:
            continue
        if not data.colour:
            blank.append(name)
        elif colour_code(data.colour) not in right:
            advised = ", ".join(colour_name(code) for code in right)
            verb = "is" if len(right) == 1 else "are"
            words = " and ".join(functions)
            yield RULE.finding(
                (name,),
                f"{name} ({words}) is {colour_words(data.colour)}; {advised} {verb} right ({known[0].source})",
                design.place(name, "colour"),
                mend=(_coloured(name, right[0]),),
            )
    if blank:
        yield RULE.not_judged(blank, "the colour of the button (`colour: BU`)", design.place(blank[0]))


def _coloured(name: str, colour: str) -> Mend:
    return Mend(f"Make {name} {colour_name(colour)} ({colour}).", of_part(name, "colour", colour))
