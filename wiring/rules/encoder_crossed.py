"""A drive in a closed loop reads another sense, or another motor, than it turns.

Channel B of an encoder is a quarter of a period behind A in one sense and ahead of it in the other: with the two
exchanged the drive counts backwards. With two phases of the motor exchanged, or all three moved on by one, the motor
pulls away from where its drive turns the field. With the encoder of another motor the drive never sees its own move.
In each case the loop feeds its error forward, and the axis runs away at the first enable.

Fires on screw-axis at D2
    D2.encoder={voltage: 5 V DC}
    M2.encoder={voltage: 5 V DC}
    wires+={wire: 31, from: "D2:EA+", to: "M2:EB+", type: rail}
    wires+={wire: 32, from: "D2:EB+", to: "M2:EA+", type: rail}
Quiet
    31.to=M2:EA+
    32.to=M2:EB+
Not judged
    Encoders whose channels are marked by other letters than A, B and Z; phases that are marked differently at both
    ends.
Known limits
    A drive can be set to count the other way: accept the finding with that as the reason. Motors without an encoder
    only turn the other way, which is for the setting of the drive.
"""

from __future__ import annotations

from collections.abc import Iterable

from wiring.circuit.model import Node, named
from wiring.design.connection.crossed_signals import Crossed, crossed_channels, crossed_phases, foreign_encoders
from wiring.design.edits import swapped
from wiring.findings import Mend
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="encoder-crossed",
    title="A closed loop reads another sense or motor than it turns",
    signal=Signal.WARNING,
    harm="The axis runs away at the first enable, as fast as it can and with all of its torque.",
    sources=(
        (
            "both",
            Source(
                "stability of a closed loop",
                "",
                "negative feedback, two channels in quadrature",
                Standing.COMMON_PRACTICE,
            ),
        ),
    ),
)


def check(design: Design) -> Judgements:
    """Each encoder with exchanged channels, each motor with exchanged phases, each drive with another's encoder."""
    foreign = list(foreign_encoders(design))
    for one in foreign:
        yield RULE.finding(
            (one.drive, one.motor, *one.feeds),
            f"{one.drive} feeds {listed(one.feeds)} and reads the encoder of {one.motor}",
            design.circuit.conductors_at(one.nodes[0])[0].place,
            mend=(f"Lead the encoder of {one.feeds[0]} to {one.drive}, and that of {one.motor} to its own drive.",),
        )
    for rows in _by_parts(crossed_channels(design)):
        yield _finding(design, rows, "channel", "counts backwards")
    for rows in _by_parts(crossed_phases(design)):
        yield _finding(design, rows, "phase", "turns against what its drive reads")


def _by_parts(found: Iterable[Crossed]) -> list[list[Crossed]]:
    groups: dict[tuple[str, str], list[Crossed]] = {}
    for one in found:
        groups.setdefault((one.takes[0], one.gives[0]), []).append(one)
    return list(groups.values())


def _ends(nodes: Iterable[Node]) -> str:
    return ", ".join(named(node) for node in nodes)


def _finding(design: Design, rows: list[Crossed], what: str, follows: str) -> Judgement:
    first = rows[0]
    takes, gives = first.takes[0], first.gives[0]
    wires = [c for row in rows for c in design.circuit.conductors_at(row.takes)]
    other = next((row for row in rows if row.means == first.wants and row.wants == first.means), None)
    moved = swapped(design, first.takes, other.takes) if other is not None and len(rows) == 2 else ()
    words = f"Lead {_ends(row.gives for row in rows)} each to the {what} of the same letter."
    return RULE.finding(
        (takes, gives, *(dict.fromkeys(wire.id for wire in wires))),
        f"{named(first.gives)} leads to {named(first.takes)}, another {what}: the axis {follows}",
        wires[0].place,
        mend=(Mend(words, moved),),
    )
