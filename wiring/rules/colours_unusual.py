"""Wires differ from the colours that the rulebook advises.

Black for power, red for AC control, blue for DC control: nothing binds a builder to it, but whoever is called to the
machine expects it. One notice for the whole plan; colours that a book demands have a rule of their own.

Fires on sorting-gate at 10
    control.colour=RD
Quiet
    control.colour=DBU
Not judged
    Wires without a colour (told by `conductor-colour-wrong`), and roles for which the book advises nothing.
Known limits
    Cores of cables follow no code. A plan that keeps one code of its own throughout can accept the notice.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.conductor.colours import ColourAdvice
from wiring.design.conductor.use import circuit_use
from wiring.findings import Cause, Number
from wiring.plan.colours import colour_name
from wiring.rulebooks.identification import ColourRule
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="colours-unusual",
    title="Wires have other colours than the rulebook advises",
    signal=Signal.NOTICE,
    harm="Whoever is called to the machine reads its wires wrongly at first sight.",
    sources=(("iec", iec_60204("13.2.4", Standing.CONFIRMED)), ("na", nfpa_79("13.2.4", Standing.CONFIRMED))),
)
_NAMED = 4


def check(design: Design) -> Judgements:
    """Every wire with a colour, all in one notice."""
    advice = ColourAdvice(design)
    bonds = {bond.id for bond in design.roles.bonds}
    unusual: dict[str, list[Conductor]] = {}
    wanted: dict[str, str] = {}
    for conductor in design.circuit.conductors:
        if conductor.kind != "wire" or conductor.colour is None or conductor.id in bonds:
            continue
        use = "power" if circuit_use(design.machine, conductor) == "power" else "control"
        rule = advice.broken(conductor, use)
        if rule is None:
            continue
        name = design.origins.in_words(conductor, "colour")
        unusual.setdefault(name, []).append(conductor)
        wanted.setdefault(name, _words(design, conductor, use, rule))
    if unusual:
        yield _finding(design, unusual, wanted)


def _words(design: Design, conductor: Conductor, use: str, rule: ColourRule) -> str:
    assert conductor.colour is not None
    what = f"{design.roles.of_conductor(conductor)}, {use}"
    if rule.strength == "recommended":
        return f"{colour_name(conductor.colour)} ({what}) where {colour_name(rule.colours[0])} is advised"
    return f"{colour_name(conductor.colour)} ({what}): {rule.note}"


def _finding(design: Design, unusual: dict[str, list[Conductor]], wanted: dict[str, str]) -> Judgement:
    groups = list(unusual.values())
    every = [conductor for group in groups for conductor in group]
    told = "; ".join(f"{name} {wanted[name]}" for name in list(unusual)[:_NAMED])
    more = f"; and {len(unusual) - _NAMED} more" if len(unusual) > _NAMED else ""
    return RULE.finding(
        [conductor.id for conductor in every],
        f"{told}{more}",
        design.origins.value_place(groups[0], "colour"),
        because=[
            Cause(design.origins.value_place(group, "colour"), wanted[name]) for name, group in [*unusual.items()][1:]
        ],
        numbers=(Number("wires", float(len(every)), "", "of unusual colour"),),
        mend=("Take the advised colours, or print the machine's own code on the cover and accept this notice.",),
    )
