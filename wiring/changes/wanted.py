"""What is asked of an addition besides the axis itself, and what an addition is."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.plan.edits import Edit


@dataclass(frozen=True)
class Addition:
    """The edits that add axes. `parts` are the new names by that of the original, `conductors` the new numbers.

    `unplaced` says what found no place, `remarks` what had to be made room for, `motors` are the new motors.
    """

    edits: tuple[Edit, ...]
    parts: tuple[tuple[str, str], ...]
    conductors: tuple[str, ...]
    unplaced: tuple[str, ...]
    remarks: tuple[str, ...]
    motors: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked for besides the axis: a motor of the library, another supply, a supply of its own."""

    motor: str = ""
    on: str = ""
    own_supply: bool = False
