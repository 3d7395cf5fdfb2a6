"""The neutral is joined to the protective earth inside the machine.

The two are joined once, in the building. Behind that point a second bond sends neutral current through the protective
conductors, makes residual current devices trip or go blind, and puts every metal part on the neutral if it breaks.

Fires on sorting-gate at PE5
    wires+={wire: PE5, from: Q1:4, to: XPE:5, type: earth}
Quiet
    PE5=
Not judged
    The bond of the building in front of the inlet.
"""

from __future__ import annotations

from wiring.design.edits import taken_away
from wiring.findings import Mend
from wiring.rules.rule import Design, Judgements, Rule, Signal, Standing, iec_60204, nfpa_70

RULE = Rule(
    slug="neutral-joined-to-earth",
    title="Neutral is joined to the protective earth",
    signal=Signal.WARNING,
    harm="Neutral current flows in protective conductors; if the neutral breaks, every metal part becomes live.",
    sources=(("iec", iec_60204("5.1", Standing.ONE_SOURCE)), ("na", nfpa_70("250.24(A)(5), 250.142(B)"))),
)


def check(design: Design) -> Judgements:
    """Every bond of a net that the neutral reaches, through contacts too."""
    for net, bonds in sorted(design.nets.bonds_at.items()):
        poles = [r.pole for r in design.nets.reach(net).sources if r.pole.main]
        if not poles or any(pole.sign != "N" for pole in poles):
            continue
        for bond in bonds:
            yield RULE.finding(
                (bond.id,),
                f"Conductor {bond.id} joins the neutral of {poles[0].source} to the protective earth",
                bond.place,
                mend=(
                    Mend(
                        f"Take {bond.id} away; neutral and protective earth stay apart behind the inlet.",
                        taken_away(design, [bond]),
                    ),
                ),
            )
