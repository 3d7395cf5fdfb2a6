"""One fault as data: what it opens, closes, bridges, holds or kills."""

from __future__ import annotations

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.solver.assembly import Actuator

#: Stands for the protective earth in a bridge.
EARTH: Node = ("", "PE")


class Fault(Struct, frozen=True):
    """One fault. `subjects` are the ids it is about, the first the one to change; `words` say it in half a sentence.

    `on` and `off` are actuators stuck attracted or let go, `dead` parts whose outputs deliver nothing, `bridge` two
    nodes that touch (EARTH stands for the protective earth). `excluded` is empty when the fault must be assumed.
    """

    id: str
    kind: str
    subjects: tuple[str, ...]
    words: str
    table: str
    opened: tuple[str, ...] = ()
    closed: tuple[str, ...] = ()
    bridge: tuple[Node, Node] | None = None
    on: tuple[Actuator, ...] = ()
    off: tuple[Actuator, ...] = ()
    dead: tuple[str, ...] = ()
    excluded: str = ""
