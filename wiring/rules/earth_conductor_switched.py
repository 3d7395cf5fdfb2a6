"""A protective conductor or a bond leads through a contact or a fuse.

The earth must hold whatever is switched off or has tripped. No contact, pole or fuse may stand between two points of
the protective earth, or between a rail and the earth that holds it. The metal parts that lose their only earth in this
way are named in the finding, which is then a DANGER.

Fires on sorting-gate at Q1
    Q1.poles=3
    PE1.to=Q1:5
    wires+={wire: PE5, from: Q1:6, to: XPE:1, type: earth}
Quiet
    PE1.to=XPE:1
    PE5=
Not judged
    Plugs: a protective contact that makes first and breaks last is not told from another.
Known limits
    A switch whose far side reaches no earth point and no rail is passed over. A bond of the neutral is told by
    `neutral-joined-to-earth`.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor, Inner
from wiring.design.earth.metal_bodies import metal_behind
from wiring.design.nets import far_from_earth
from wiring.design.rewiring import past
from wiring.findings import Mend
from wiring.parts.elements import Pole
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="earth-conductor-switched",
    title="Protective conductor is switched or fused",
    signal=Signal.WARNING,
    gravest=Signal.DANGER,
    harm="When the contact opens or the fuse blows, what lies behind it is no longer earthed, and nobody sees it.",
    sources=(("iec", iec_60204("8.2.3")), ("na", nfpa_79("8.2.4"))),
)


def check(design: Design) -> Judgements:
    """Every contact and pole that has the protective earth on one side."""
    switched = design.earthing.switched
    for edge, bond in switched.edges:
        yield _finding(design, edge, bond, metal_behind(design, edge, switched.behind))


def _finding(design: Design, edge: Inner, bond: Conductor, metal: list[str]) -> Judgement:
    what = "fuse or breaker" if isinstance(edge.element, Pole) else "contact"
    effect = f": {listed(metal)} {'are' if len(metal) > 1 else 'is'} not earthed once it opens" if metal else ""
    return RULE.finding(
        (edge.part, bond.id, *metal),
        f"Conductor {bond.id} leads the protective earth through {edge.id}, a {what}{effect}",
        bond.place,
        signal=Signal.DANGER if metal else RULE.signal,
        mend=(
            Mend(
                f"Take {far_from_earth(design.circuit, bond)[0]} out of the way: join both sides by one conductor.",
                past(design, edge.a, edge.b),
            ),
        ),
        holds=scope("cut", *{node[0] for node in design.earthing.switched.behind}),
    )
