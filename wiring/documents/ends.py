"""Where the end of a conductor is found on the drawing."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from wiring.circuit.model import Conductor, Node, named


class Ends(Struct, frozen=True):
    """Sheet and zone of conductor ends, as "3/B4", by conductor id and terminal; empty without a drawing."""

    at: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def zone(self, conductor: str, node: Node) -> str:
        """Sheet and zone of one end, "" where it is not drawn."""
        return self.at.get((conductor, named(node)), "")


def end_words(conductor: Conductor, node: Node) -> str:
    """The terminal as a plan writes it; a shield has none at its cable."""
    return f"{conductor.cable} shield" if node[1].startswith(".") else named(node)
