"""What is asked of an addition besides the axis itself, and what an addition is."""

from __future__ import annotations

from msgspec import Struct

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


class Wanted(Struct, frozen=True):
    """What is asked for besides the axis: a motor of the library, another supply, a supply of its own."""

    motor: str = ""
    on: str = ""
    own_supply: bool = False
