"""A thermostat acts in the sense that drives the temperature on, or keeps none.

What keeps a temperature takes the power from the heater when it is warm, and feeds the fan. The other way round it has
no point of rest: cold, the heater never starts; warm, it heats on until something else opens. Every thermostat and
cut-out is worked in every state of the plan, and what it feeds or takes then is looked at. One for heating that takes
the power from no heat in any of them, beside a heat that nothing else regulates, lies in the circuit of something else
or beside a contact that feeds the same.

Fires on hot-wire at B2
    parts.B2={kind: thermostat, contacts: {1-2: "NO"}}
    20.to=B2:1
    wires+={wire: 22, from: B2:2, to: E1:1, type: work}
Quiet
    B2.contacts={1-2: NC}
Not judged
    A thermostat that a program reads: the sense is a matter of the program.
Known limits
    Pressure and level: whether a pump fills or drains, no plan says. A fan outside of the cabinet may serve something
    else than to cool.
"""

from __future__ import annotations

from wiring.design.switching.control_sense import Reversed, idle_thermostats, reversed_controls
from wiring.findings import Mend
from wiring.parts.elements import Switch
from wiring.plan.edits import SetValue
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.rules.words import in_states
from wiring.wording import does, listed

RULE = Rule(
    slug="control-sense-reversed",
    title="Thermostat acts in the wrong sense",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Cold, the machine never gets warm; once warm, it heats on until something burns or a cut-out opens.",
    sources=(("both", Source("Physics", "", "positive feedback has no point of rest", Standing.CONFIRMED)),),
)


def check(design: Design) -> Judgements:
    """Every thermostat and cut-out with each load that it moves the wrong way."""
    for one in reversed_controls(design.machine, design.operation):
        yield _finding(design, one)
    for idle in idle_thermostats(design.machine, design.operation):
        yield RULE.finding(
            (idle.switch, *idle.loads),
            f"{idle.switch} opens, being warm, and {does(idle.loads, 'stays', 'stay')} fed, "
            f"{in_states(design, idle.states)}: it keeps no temperature" + (" there" if idle.elsewhere else ""),
            design.place(idle.switch),
            signal=RULE.signal if idle.elsewhere else Signal.WARNING,
            mend=(f"Lead what feeds {listed(idle.loads)} through {idle.switch}, in series with all else.",),
        )


def _finding(design: Design, one: Reversed) -> Judgement:
    takes = "feeds" if one.feeds else "takes the power from"
    pairs = {switch.name: switch for switch in design.parts[one.switch].of(Switch)}
    contacts: dict[str, str] = getattr(design.parts[one.switch].data, "contacts", {})
    turned = {
        pair: word.replace("NO", "NC") if word.startswith("NO") else word.replace("NC", "NO")
        for pair, word in contacts.items()
        if pair in pairs
    }
    kind = " or ".join(sorted({word.split()[0] for word in turned.values()}))
    edits = tuple(SetValue(("parts", one.switch, "contacts", pair), word) for pair, word in turned.items())
    return RULE.finding(
        (one.switch, one.load),
        f"{one.switch} {takes} {one.load} when it is warm, and the other way round when it is cold",
        design.place(one.switch, "contacts"),
        mend=(
            Mend(
                f"Take the {'break' if one.feeds else 'make'} contact of {one.switch} ({kind}).",
                edits if len(turned) == 1 else (),
            ),
        ),
        holds=scope("part", one.switch, one.load),
    )
