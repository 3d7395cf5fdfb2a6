"""A conductor that moves is not made to be moved.

A cable that moves with the machine, whatever lies in a drag chain, and the wires to the door are bent again and again.
Solid and coarsely stranded copper (classes 1 and 2 of IEC 60228) breaks, strand by strand, inside its insulation.

Fires on sorting-gate at C1
    routes.chain={kind: chain, at: machine}
    C1.route=chain
    C1.conductor_class=2
Quiet
    C1.conductor_class=6
Not judged
    A moving conductor that gives no `conductor_class`. Bending radius, strain relief and the number of bends are not in
    a plan: they go to the inspection.
Known limits
    Whether the sheath is made for a drag chain is not known.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.conductor.moving_conductors import class_place, movement
from wiring.design.edits import of_conductors
from wiring.findings import Cause, Mend
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.wording import agreeing

RULE = Rule(
    slug="moving-conductor-rigid",
    title="Moving conductor is not made to be moved",
    signal=Signal.CAUTION,
    harm="It breaks unseen: axes stop at random, a stop circuit opens in motion, a broken earth goes unnoticed.",
    sources=(("iec", iec_60204("12.2, table D.4")), ("na", nfpa_79("12.2", Standing.ONE_SOURCE))),
)
#: Classes of IEC 60228 made to be moved.
_FLEXIBLE = ("5", "6")


def check(design: Design) -> Judgements:
    """Rigid conductors of one cable or wire type together; those without a class in one question."""
    rigid: dict[tuple[str, str], list[Conductor]] = {}
    unknown: list[Conductor] = []
    for conductor in design.circuit.conductors:
        how = movement(design, conductor) if conductor.kind != "shield" else ""
        if not how or conductor.conductor_class in _FLEXIBLE:
            continue
        if conductor.conductor_class is None:
            unknown.append(conductor)
        else:
            rigid.setdefault((design.origins.in_words(conductor, "conductor_class"), how), []).append(conductor)
    for (_, how), conductors in rigid.items():
        yield _finding(design, how, conductors)
    if unknown:
        names = tuple(dict.fromkeys(conductor.cable or conductor.id for conductor in unknown))
        yield RULE.not_judged(names, "how it is stranded (`conductor_class: 5`), since it moves", unknown[0].place)


def _finding(design: Design, how: str, conductors: list[Conductor]) -> Judgement:
    first = conductors[0]
    names = list(dict.fromkeys(conductor.cable or conductor.id for conductor in conductors))
    listed = ", ".join(names[:6]) + (" …" if len(names) > 6 else "")
    kind = {"1": "solid (class 1)", "2": "coarsely stranded (class 2)"}[first.conductor_class or "2"]
    source = RULE.source(design.plan.rulebook)
    return RULE.finding(
        names,
        f"{listed} {how} and {agreeing(names, 'is', 'are')} {kind}; class 5 or 6 is wanted ({source})",
        class_place(design, conductors),
        because=[Cause(other.place, kind) for other in conductors[1:] if other.cable is None],
        mend=(
            Mend(
                f"Take flexible conductors (class 5, in a drag chain class 6) for {listed}.",
                of_conductors(design, conductors, "conductor_class", "6"),
            ),
        ),
    )
