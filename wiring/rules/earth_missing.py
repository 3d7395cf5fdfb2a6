"""A metal part that can be touched does not reach the protective earth of the inlet.

Every such part must reach the incoming protective conductor through conductors and earth points alone. A way through
a shield, a switch, a fuse or the 0 V of a rail does not count: it can be opened, or was never made to carry a fault
current.

Fires
    parts:
      X0: {kind: inlet}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      XPE: {kind: earth-bar, points: 4}
      MP: {kind: metalwork}
    wires:
      - {wire: 1, from: X0:L, to: G1:L, size: 1.5 mm2}
      - {wire: 2, from: X0:N, to: G1:N, size: 1.5 mm2}
      - {wire: PE1, from: X0:PE, to: XPE:1, size: 2.5 mm2, colour: GNYE}
      - {wire: PE2, from: XPE:2, to: G1:PE, size: 2.5 mm2, colour: GNYE}
Quiet
    parts:
      X0: {kind: inlet}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      XPE: {kind: earth-bar, points: 4}
      MP: {kind: metalwork}
    wires:
      - {wire: 1, from: X0:L, to: G1:L, size: 1.5 mm2}
      - {wire: 2, from: X0:N, to: G1:N, size: 1.5 mm2}
      - {wire: PE1, from: X0:PE, to: XPE:1, size: 2.5 mm2, colour: GNYE}
      - {wire: PE2, from: XPE:2, to: G1:PE, size: 2.5 mm2, colour: GNYE}
      - {wire: PE3, from: XPE:3, to: MP:1, size: 2.5 mm2, colour: GNYE}
Not judged
    A plan without a mains inlet: no voltage above extra-low voltage enters, and the need for an earth is not known.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.earth import earth_inlets
from wiring.findings import Signal
from wiring.parts.elements import Feed, Link
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="earth-missing",
    title="Metal part is not earthed",
    signal=Signal.DANGER,
    harm="The first insulation fault puts mains voltage on metal that people touch, and no protective device opens.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "8.2.1", Standing.FROM_MEMORY)),
        ("na", Source("NFPA 79", "2021", "8.2.1", Standing.FROM_MEMORY)),
    ),
)


def earthed_nodes(design: Design) -> set[Node]:
    """The points that reach the incoming protective conductor through conductors and links between earth points."""
    circuit = design.circuit
    starts = earth_inlets(design)
    reached = set(starts)
    queue = deque(starts)
    while queue:
        node = queue.popleft()
        for edge in circuit.edges_at[node]:
            joins = edge.kind != "shield" if isinstance(edge, Conductor) else isinstance(edge.element, Link)
            far = edge.b if edge.a == node else edge.a
            if joins and far not in reached and is_earth_point(circuit, far):
                reached.add(far)
                queue.append(far)
    return reached


def check(design: Design) -> Iterator[Judgement]:
    """Every part with a metal body."""
    bodies = {name: terminal for name, part in design.parts.items() if (terminal := part.data.earth_terminal())}
    if not bodies:
        return
    if not design.circuit.elements(Feed):
        yield RULE.not_judged(tuple(sorted(bodies)), "a mains inlet (`kind: inlet`) with its PE")
        return
    reached = earthed_nodes(design)
    for name, standard in sorted(bodies.items()):
        part = design.parts[name]
        terminal = part.data.terminals.get(standard, standard)
        if (name, terminal) in reached:
            continue
        wired = bool(design.circuit.conductors_at((name, terminal)))
        what = f"leads nowhere near the incoming protective earth from {name}:{terminal}" if wired else "is missing"
        bar = next((bar for bar, other in design.parts.items() if other.kind == "earth-bar"), "the earth bar")
        yield RULE.finding(
            (name,),
            f"{name} ({part.title}) is not earthed: its protective conductor {what}",
            design.place(name),
            mend=(
                f"Join {name}:{terminal} to a free point of {bar} with a green-and-yellow conductor of its own, "
                "at least as thick as the line conductor that feeds it (up to 16 mm2).",
            ),
        )
