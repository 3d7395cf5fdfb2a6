"""A rail is tied to the protective earth at two points or more.

One bond gives a rail its reference. With a second one the return current of the rail divides: part of it flows
through protective conductors and machine frames, and the first bond can be lost without anyone noticing. Shields
count where they join the rail and the earth.

Fires on sorting-gate at PE5
    wires+={wire: PE5, from: A1:0V, to: XPE:5, type: earth}
Quiet
    PE5=
Not judged
    Bonds inside a part that the plan does not show, such as a card whose 0 V is joined to its metal case.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor
from wiring.circuit.roles import is_earth_point
from wiring.design.edits import taken_away
from wiring.design.nets import Net
from wiring.findings import Cause, Mend, Number
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="rail-bonded-twice",
    title="Rail is earthed at more than one point",
    signal=Signal.CAUTION,
    harm="Return current flows through protective conductors and frames; signals shift, and a lost bond goes unseen.",
    sources=(("iec", iec_60204("9.4.3.1.2, 6.4.1")), ("na", nfpa_79("6.4"))),
)


def _shield_bonds(design: Design) -> Iterator[tuple[Net, Conductor]]:
    """Shields that join a rail at one end and the earth at another: the end at the rail counts as a bond."""
    ends: dict[str, list[Conductor]] = {}
    for conductor in design.circuit.conductors:
        if conductor.kind == "shield" and conductor.cable is not None:
            ends.setdefault(conductor.cable, []).append(conductor)
    for shields in ends.values():
        earthed = [c for c in shields if is_earth_point(design.circuit, c.b)]
        for conductor in shields:
            if earthed and conductor not in earthed:
                yield design.nets.of[conductor.b], conductor


def check(design: Design) -> Judgements:
    """Every net of a separate source with more than one bond."""
    nets = design.nets
    bonds: dict[Net, list[Conductor]] = {net: list(found) for net, found in nets.bonds_at.items()}
    for net, conductor in _shield_bonds(design):
        bonds.setdefault(net, []).append(conductor)
    for net, found in sorted(bonds.items()):
        poles = [pole for pole in nets.poles_at.get(net, ()) if pole.main]
        if not poles or any(pole.sign in ("N", "L", "L1", "L2", "L3") for pole in poles):
            continue
        found.sort(key=lambda bond: (bond.place.line, bond.place.column, bond.id))
        found = list({frozenset(bond.ends): bond for bond in reversed(found)}.values())[
            ::-1
        ]  # in parallel they are one
        if len(found) < 2:
            continue
        sources = ", ".join(sorted({pole.source for pole in poles}))
        yield RULE.finding(
            (found[-1].id, *(bond.id for bond in found[:-1])),
            f"The rail of {sources} is tied to the protective earth {len(found)} times: "
            + ", ".join(bond.id for bond in found),
            found[-1].place,
            because=[Cause(bond.place, "also ties it to the earth") for bond in found[:-1]],
            numbers=(Number("bonds", float(len(found)), "", sources),),
            mend=(
                Mend(
                    f"Keep {found[0].id} and take {', '.join(bond.id for bond in found[1:])} away.",
                    taken_away(design, found[1:]),
                ),
            ),
        )
