"""What must be done at a cabinet that is built after one plan to make it that of another, in the order of the work."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct


class Action(StrEnum):
    """What a hand does, in the order in which it is done: first what goes, then parts, then what comes."""

    TAKE_OFF = "take off"
    TAKE_OUT = "take out"
    REPLACE = "replace"
    PUT_IN = "put in"
    MOVE = "move"
    SET = "set"
    RELABEL = "relabel"
    PUT_ON = "put on"
    READ = "read on the label"

    @property
    def turn(self) -> int:
        """0 for what is done first."""
        return list(Action).index(self)


class Step(Struct, frozen=True):
    """One piece of work: at which part, wire or cable, and what exactly. `name` is that of the new plan where it has
    one."""

    action: Action
    what: str
    name: str
    words: str


def in_place_of(new: str, old: str) -> str:
    """ "6 A in place of 10 A"; what is new or gone is told as such."""
    if not old:
        return new
    return f"{new or 'none'} in place of {old}"
