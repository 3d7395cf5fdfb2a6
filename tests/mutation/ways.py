"""What a way to break a plan is, and the register of all of them.

Whether a break matters, and which group of rules should speak, is said by hand from physics, from the standards and
from the list of common mistakes, before any rule was asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from machine import Machine, Plan


class Break(NamedTuple):
    """One place at which a plan is broken, and the edit that does it to a copy."""

    where: str
    edit: Callable[[Plan], None]


Places = Callable[[Machine], Iterator[Break]]


@dataclass(frozen=True)
class Way:
    """One way to break a plan.

    `speaks` names the group of rules that should say so, `why` the physics. `meaningful` is False where the break
    may leave the machine as good as before: such mutants count for crashes only. `rows` are ranks of the list of
    mistakes that this way makes. `removes_data`: a new question that stays open is an answer.
    """

    name: str
    speaks: str
    why: str
    places: Places
    meaningful: bool = True
    rows: tuple[int, ...] = ()
    removes_data: bool = False


WAYS: list[Way] = []


def way(
    name: str,
    speaks: str,
    why: str,
    *,
    meaningful: bool = True,
    rows: tuple[int, ...] = (),
    removes_data: bool = False,
) -> Callable[[Places], Places]:
    """Register the function that finds the places of a way."""

    def register(places: Places) -> Places:
        WAYS.append(Way(name, speaks, why, places, meaningful, rows, removes_data))
        return places

    return register
