"""A protective conductor or a bond leads through a contact or a fuse.

The earth must hold whatever is switched off or has tripped. No contact, pole or fuse may stand between two points of
the protective earth, or between a rail and the earth that holds it. A metal part that loses its only earth in this
way is told by `earth-missing`; this rule finds the rest: earth bars, shield bars, bonds of rails, and doubled ways.

Fires
    parts:
      X0: {kind: inlet}
      Q1: {kind: disconnector, poles: 3}
      XSH: {kind: earth-bar, points: 4}
    wires:
      - {wire: PE1, from: X0:PE, to: Q1:5}
      - {wire: PE2, from: Q1:6, to: XSH:1}
Quiet
    parts:
      X0: {kind: inlet}
      Q1: {kind: disconnector, poles: 3}
      XSH: {kind: earth-bar, points: 4}
    wires:
      - {wire: PE1, from: X0:PE, to: XSH:1}
Not judged
    Plugs: a protective contact that makes first and breaks last is not told from another.
Known limits
    A switch whose far side reaches no earth point and no rail is passed over.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor, Inner
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.nets import far_from_earth
from wiring.findings import Signal
from wiring.parts.elements import Pole, Switch
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.earth_missing import earthed_nodes
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="earth-conductor-switched",
    title="Protective conductor is switched or fused",
    signal=Signal.WARNING,
    harm="When the contact opens or the fuse blows, what lies behind it is no longer earthed, and nobody sees it.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "8.2.4", Standing.FROM_MEMORY)),
        ("na", Source("NFPA 79", "2021", "8.2.5", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Iterator[Judgement]:
    """Every contact and pole that has the protective earth on one side."""
    for edge in design.circuit.inner:
        if not isinstance(edge.element, Switch | Pole):
            continue
        bonds = {end: _bonds(design, end) for end in (edge.a, edge.b)}
        near = next((end for end in (edge.a, edge.b) if bonds[end]), None)
        if near is None:
            continue
        far = edge.b if near == edge.a else edge.a
        held = bonds[far] or _holds_a_rail(design, far)
        if held and not _leaves_metal_unearthed(design, bonds[far] or bonds[near]):
            yield _finding(design, edge, bonds[near][0])


def _bonds(design: Design, end: tuple[str, str]) -> tuple[Conductor, ...]:
    return design.nets.bonds_at.get(design.nets.of[end], ()) if _is_bare(design, end) else ()


def _is_bare(design: Design, end: tuple[str, str]) -> bool:
    """No source stands on this side: it is a piece of the earth and no earthed rail."""
    return not design.nets.poles_at.get(design.nets.of[end])


def _holds_a_rail(design: Design, end: tuple[str, str]) -> bool:
    poles = design.nets.poles_at.get(design.nets.of[end], ())
    return any(pole.main and pole.sign in ("-", "+", "~", "N") for pole in poles)


def _leaves_metal_unearthed(design: Design, bonds: tuple[Conductor, ...]) -> bool:
    """Whether `earth-missing` already tells a metal part behind the contact."""
    reached = earthed_nodes(design)
    ends = [end for bond in bonds for end in bond.ends if is_earth_point(design.circuit, end)]
    behind = [end for end in ends if end not in reached]
    named = {edge_end[0] for end in behind for edge_end in _earth_points_with(design, end)}
    return any(design.parts[name].data.earth_terminal() for name in named)


def _earth_points_with(design: Design, start: tuple[str, str]) -> list[tuple[str, str]]:
    seen = [start]
    for node in seen:
        for edge in design.circuit.edges_at[node]:
            far = edge.b if edge.a == node else edge.a
            solid = isinstance(edge, Conductor) or not isinstance(edge.element, Switch | Pole)
            if solid and far not in seen and is_earth_point(design.circuit, far):
                seen.append(far)
    return seen


def _finding(design: Design, edge: Inner, bond: Conductor) -> Judgement:
    what = "fuse or breaker" if isinstance(edge.element, Pole) else "contact"
    return RULE.finding(
        (edge.part, bond.id),
        f"Conductor {bond.id} leads the protective earth through {edge.id}, a {what}",
        bond.place,
        mend=(f"Take {far_from_earth(design.circuit, bond)[0]} out of the way: join both sides by one conductor.",),
    )
