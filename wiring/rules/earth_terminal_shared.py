"""Protective conductors hang on one another: several sit at one point, or lead on from a part that may be taken out.

A point of an earth bar, or the protective terminal of a part, takes one conductor unless its maker says otherwise
(`wires_per_terminal`). A row of terminals takes one on either side. Where a part is taken out for service, others that
are still fed keep their earth (IEC 60204-1, 8.2.3): none is earthed through the terminals of a drive, a supply or any
other part but bars, terminals and the structure itself. A motor may be earthed at its own drive: both die together.

Fires on sorting-gate at XPE
    PE3.from=XPE:2
Quiet
    PE3.from=XPE:3
Not judged
    Parts of the structure, which are not taken out. The tail of a shield beside a conductor: it carries no fault
    current of the mains.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor, Node, named
from wiring.design.earth.chained_earths import Chained, chained_earths
from wiring.design.edits import earth_points, led_to
from wiring.findings import Cause, Finding, Mend, Number
from wiring.parts.base import Part
from wiring.parts.elements import Function, Terminal
from wiring.parts.passive import Connector, Terminals
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import does, listed

RULE = Rule(
    slug="earth-terminal-shared",
    title="Protective conductors that hang on one another",
    signal=Signal.CAUTION,
    harm="Whoever takes one of them off loosens the others, and metal that is thought earthed no longer is.",
    sources=(("iec", iec_60204("8.2.4")), ("na", nfpa_79("13.1.1"))),
)


def _capacity(part: Part, terminal: Terminal) -> int:
    if part.data.wires_per_terminal is not None:
        return part.data.wires_per_terminal
    return 2 if isinstance(part.data, Terminals | Connector) else 1


def check(design: Design) -> Judgements:
    """Every part that earths others, then every protective earth terminal of the rest."""
    chained = {found.part: found for found in chained_earths(design) if found.onward}
    for found in chained.values():
        yield _chained(design, found)
    for part in design.parts.values():
        for terminal in part.terminals.values():
            if terminal.function is not Function.PE or part.name in chained:
                continue
            node = (part.name, terminal.name)
            wired = sorted(
                (c for c in design.circuit.conductors_at(node) if c.kind != "shield"),
                key=lambda c: (c.place.line, c.place.column, c.id),
            )
            most = _capacity(part, terminal)
            if len(wired) <= most:
                continue
            names = ", ".join(conductor.id for conductor in wired)
            yield RULE.finding(
                (part.name, *(conductor.id for conductor in wired[most:])),
                f"{named(node)} takes {most} protective conductor{'s'[: most - 1]} and has {len(wired)}: {names}",
                wired[most].place,
                because=[Cause(conductor.place, "at the same point") for conductor in wired[:most]],
                numbers=(Number("conductors", float(len(wired)), "", named(node)),),
                limit=RULE.limit(design, float(most), ""),
                mend=(_spread(design, node, wired[most:]),),
            )


def _chained(design: Design, found: Chained) -> Finding:
    onward = [conductor.id for conductor in found.onward]
    return RULE.finding(
        (found.part, *found.behind, *onward),
        f"{does(found.behind, 'is', 'are')} earthed through {found.part} alone, by {listed(onward)}: whoever takes "
        f"{found.part} out leaves {'it' if len(found.behind) == 1 else 'them'} fed and without earth",
        found.onward[0].place,
        mend=(f"Lead {listed(onward)} from the earth bar in place of {found.part}.",),
    )


def _spread(design: Design, node: Node, more: list[Conductor]) -> Mend:
    """Those that are too many, each at a free point of the bar."""
    words = f"Give each of them a point of its own; {len(more)} more {'is' if len(more) == 1 else 'are'} needed."
    points, edits = earth_points(design, len(more), node[0])
    if len(points) < len(more):
        points, edits = earth_points(design, len(more))
    moved = [led_to(design, one, node, point) for one, point in zip(more, points, strict=False)]
    whole = len(moved) == len(more) and all(moved)
    return Mend(words, (*edits, *(edit for part in moved for edit in part)) if whole else ())
