"""Which drive turns its motor otherwise than commanded when signals or encoder conductors are open, mixed or joined.

On the row in which each axis is turned alone every signal has a course of its own, and a drive without its encoder
gives an alarm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wiring.circuit.model import Node
from wiring.parts.drives import Drive
from wiring.powerup.survey import Survey, pairs_of


class AxisSignals:
    """The nets of the signals and of the encoder of every drive, each by the node that stands for it."""

    def __init__(self, survey: Survey) -> None:
        self._nets = survey.design.nets.of
        drives = [part for part in survey.circuit.parts.values() if isinstance(part.data, Drive)]
        signals = [pair for part in drives for pair in pairs_of(part) if not pair.takes_power]
        self._ends = {frozenset((pair.a, pair.b)) for pair in signals}
        self._by_signal = self._drives_of((pair.a, pair.part) for pair in signals)
        self._by_encoder = self._drives_of(
            ((part.name, end), part.name)
            for part in drives
            if isinstance(part.data, Drive) and part.data.encoder
            for end in (*part.data.encoder.between, *part.data.encoder.signals)
        )

    def _drives_of(self, ends: Iterable[tuple[Node, str]]) -> Mapping[Node, frozenset[str]]:
        found: dict[Node, frozenset[str]] = {}
        for node, drive in ends:
            if node in self._nets:
                net = self._nets[node]
                found[net] = found.get(net, frozenset()) | {drive}
        return found

    def lost(self, *nodes: Node) -> tuple[str, ...]:
        """The drives that lose their encoder when a conductor at some points is open."""
        return self._of(self._by_encoder, self._at(nodes))

    def mixed(self, first: Node, second: Node) -> tuple[str, ...]:
        """The drives that show it when two points are joined, or what belongs to them is mixed up."""
        nets = self._at((first, second))
        if len(nets) < 2:
            return ()
        if frozenset((first, second)) in self._ends:  # the input of a drive conducts one way round
            return (first[0],)
        both = all(net in self._by_signal for net in nets)
        return self._of(self._by_encoder, nets) or (self._of(self._by_signal, nets) if both else ())

    def _at(self, nodes: Iterable[Node]) -> set[Node]:
        return {self._nets[node] for node in nodes if node in self._nets}

    @staticmethod
    def _of(drives: Mapping[Node, frozenset[str]], nets: set[Node]) -> tuple[str, ...]:
        return tuple(sorted({drive for net in nets for drive in drives.get(net, ())}))
