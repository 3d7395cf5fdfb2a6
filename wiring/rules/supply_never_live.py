"""A supply delivers in no state of the plan: its input is dead, or sees a voltage that it is not made for.

A machine whose supplies are dead asks for no current, so every other check on it stays quiet. That silence must not
read as safe. The voltage at the input is the one solved in each state, with every contact as it stands when the
machine runs.

Fires on sorting-gate at G1
    G1.input=400 V AC
Quiet
    G1.input=230 V AC
Not judged
    A supply that is wired to an inlet, when the plan says nothing of its `mains`. A supply that every state turns off.
Known limits
    A supply whose input has no conductor at all is taken as fed from elsewhere; `terminal-open` names it. A supply that
    is dead because of an open circuit or a coil that `terminal-open`, `circuit-never-closed` or `load-undervoltage`
    tells is an effect, and not told.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.supply.given_voltages import voltages_given
from wiring.design.supply.supplies import main_outputs
from wiring.design.switching.dependence import depends_on
from wiring.findings import Mend, Number, Scope
from wiring.parts.base import Part
from wiring.parts.elements import Feed, Input
from wiring.plan.edits import Edit
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.steps import nominal
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.solver.operating import OperatingPoint

RULE = Rule(
    slug="supply-never-live",
    title="Supply delivers in no state",
    signal=Signal.CAUTION,
    harm="The machine does not run as planned, or the supply is destroyed; and nothing behind it could be judged.",
    sources=(("iec", iec_60204("4.3.2")), ("na", nfpa_79("4.4.2"))),
)
_DATA = Source("data of the part", "", "`input`, 85 % of it where no range is given", Standing.COMMON_PRACTICE)
#: Below this nothing feeds an input [V]: what leaks through inputs and open outputs (own choice).
_FED_V = 1.0


def check(design: Design) -> Judgements:
    """Every supply that no state makes live."""
    dead = [part for part in design.parts.values() if main_outputs(part) and not _is_live(design, part)]
    if dead and design.plan.mains is None and design.circuit.elements(Feed):
        inlet = next(part for part, _ in design.circuit.elements(Feed))
        yield RULE.not_judged(tuple(part.name for part in dead), "the `mains` at the inlet", design.place(inlet.name))
        return
    for part in dead:
        if all(part.name in point.position.off for point in design.states.values()):
            yield RULE.not_judged((part.name,), "a state in which it is on", design.place(part.name))
        else:
            yield from _judge(design, part)


def _is_live(design: Design, part: Part) -> bool:
    keys = {(part.name, n) for n, _ in main_outputs(part)}
    return any(keys & point.live for point in design.states.values())


def _judge(design: Design, part: Part) -> Judgements:
    """A wrong voltage, with every contact on the way closed, is a cause; a way that stays open is an effect of what is
    on it."""
    entry = next((element for element in part.elements if isinstance(element, Input)), None)
    if entry is None:
        return
    given = voltages_given(design.machine, part, entry)
    if given and not any(one.kind == entry.kind and _suits(entry, one.volts) for one in given):
        most = max(given, key=lambda one: (one.kind == entry.kind, one.volts))
        yield _finding(design, part, entry, most.volts, f"{most.kind}, from {most.source}, its way closed", ())
    else:
        seen = [(abs(_across(point, part, entry)), f"in state {state}") for state, point in design.states.items()]
        volts, when = max(seen, key=lambda row: row[0])
        feeds = depends_on(design.machine, (part.name,))
        rests = scope("part", *feeds) | scope("supply", *feeds) | scope("misfit", *feeds)
        yield _finding(design, part, entry, volts, when, (rests,))


def _across(point: OperatingPoint, part: Part, entry: Input) -> complex:
    return point.between((part.name, entry.a), (part.name, entry.b), entry.kind)


def _suits(entry: Input, volts: float) -> bool:
    return entry.low_v * (1 - 1e-9) <= volts <= entry.high_v * (1 + 1e-9)


def _for_what_is_there(design: Design, part: Part, entry: Input, volts: float) -> tuple[Edit, ...]:
    """A supply whose input is for the nominal voltage that it sees."""
    own = design.reading.node("parts", part.name, "input") is not None
    return of_part(part.name, "input", f"{nominal(volts, entry.kind):g} V {entry.kind}") if own else ()


def _finding(design: Design, part: Part, entry: Input, volts: float, when: str, rests: tuple[Scope, ...]) -> Judgement:
    mend = (
        f"Take a supply for the voltage there is, or bring {entry.low_v:.0f} V to {part.name}:{entry.a}."
        if volts > _FED_V
        else f"Find where the way from the inlet to {part.name}:{entry.a} and {part.name}:{entry.b} is open."
    )
    return RULE.finding(
        (part.name,),
        f"{part.name} is live in no state: its input sees {volts:.3g} V and needs {entry.low_v:.3g} V or more",
        design.place(part.name, "input"),
        numbers=(
            Number("input", volts, "V", f"at most, {when}"),
            Number("needed", entry.low_v, "V", f"{part.name}, {entry.kind}"),
        ),
        limit=Limit(entry.low_v, "V", _DATA),
        mend=(Mend(mend, _for_what_is_there(design, part, entry, volts) if volts > _FED_V else ()),),
        rests=rests,
    )
