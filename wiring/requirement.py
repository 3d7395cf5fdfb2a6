"""What a limit asks of the size of one thing, whatever size it has: data only. Rules give it, sizing reads it."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from math import inf

from msgspec import Struct

#: The item that stands for the cabinet, as findings name it.
CABINET = "enclosure"


class Quantity(StrEnum):
    """What of an item has a size."""

    RATING = "rating"  # rated current [A] of a part, of a transformer its rated power [VA]
    POWER = "power"  # rated power of a drive [W]
    AREA = "area"  # cross-section of a conductor [mm2]
    CLAMP = "clamp"  # conductors that the terminals of a part take [mm2]
    SPACE = "space"  # place of a cabinet among the usual ones, by its front
    SECTION = "section"  # inner section of a wiring duct [mm2]
    AIRFLOW = "airflow"  # air that the fan of the cabinet delivers [m3/h]


class Shared(Struct, frozen=True):
    """A sum that several conductors share: `load` may lose `left` in all of them, and loses `own` in this one [V]."""

    load: str
    left: float
    own: float


class Requirement(Struct, frozen=True):
    """The size of `item` is `least` or more, and `most` or less: A, VA, W, mm2 or m3/h, as its quantity says.

    `item` is a part, a conductor or the cabinet. `why` says in words what asks for it. `instead` serves as well, at the
    sizes that all else has. One that is not `firm` is asked of what is sized anew, and of nothing that stands.
    `reference` is the conductor whose own size the figure follows. `shared` is the sum that it is a fair part of.
    """

    rule: str
    item: str
    quantity: Quantity
    least: float = 0.0
    most: float = inf
    why: str = ""
    instead: tuple[Requirement, ...] = ()
    firm: bool = True
    reference: str = ""
    shared: Shared | None = None


Requirements = Iterator[Requirement]
