"""What is asked of an addition besides the axis itself, and what an addition is."""

from __future__ import annotations

from msgspec import Struct

from wiring.findings import Finding, Mend, Signal
from wiring.plan.edits import Edit


class Addition(Struct, frozen=True):
    """The edits that add axes. `parts` are the new names by that of the original, `conductors` the new numbers.

    `unplaced` says what found no place, `remarks` what had to be made room for, `motors` are the new motors.
    """

    edits: tuple[Edit, ...]
    parts: tuple[tuple[str, str], ...]
    conductors: tuple[str, ...]
    unplaced: tuple[str, ...]
    remarks: tuple[str, ...]
    motors: tuple[str, ...]

    @property
    def missing(self) -> tuple[Finding, ...]:
        """What found no place, as findings."""
        return tuple(map(without_place, self.unplaced))


class Wanted(Struct, frozen=True):
    """What is asked for besides the axis: a motor of the library, another supply, a supply of its own."""

    motor: str = ""
    on: str = ""
    own_supply: bool = False


def without_place(words: str) -> Finding:
    """What found no place is a finding: the new axis cannot move like that."""
    return Finding(
        "no-free-channel",
        Signal.CAUTION,
        (words.split()[0],),
        words,
        harm="The new axis gets no signals, or hangs on wires that lead nowhere.",
        mends=(Mend("Take a card with more channels, or a second one, and wire what found no place."),),
    )
