"""What is found of a network, island by island or piece by piece, kept by the network's indices until all is known."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.solver.islands import Island
from wiring.solver.network import Network, Scalar
from wiring.solver.solution import LockedOut, Outcome, Overloaded, PowerState, Solution, SourceMode

_WORST_FIRST = (Outcome.COLLAPSED, Outcome.UNDECIDED, Outcome.OVERLOADED, Outcome.LOCKED_OUT, Outcome.SOLVED)


class Answers:
    """The answers as they come; what nothing is said of carries no current and stands as if without a source."""

    def __init__(self, network: Network, phasors: bool) -> None:
        self.network = network
        self.phasors = phasors
        zero: Scalar = 0j if phasors else 0.0
        self.volts: list[Scalar | None] = [None] * network.nodes
        self.potentials: list[Scalar | None] = [zero] * network.nodes
        self.islands = [0] * network.nodes
        self.branch_a: list[Scalar | None] = [zero] * len(network.branches)
        self.source_a: list[Scalar | None] = [zero] * len(network.sources)
        self.source_mode = [SourceMode.CONSTANT_VOLTAGE] * len(network.sources)
        self.power_a: list[Scalar | None] = [zero] * len(network.powers)
        self.power_state = [PowerState.UNPOWERED] * len(network.powers)
        self.current_a: list[Scalar | None] = [zero] * len(network.currents)
        self.diode_a: list[Scalar | None] = [zero] * len(network.diodes)
        self.floating: list[tuple[int, ...]] = []
        self.adrift: set[int] = set()
        self.overloaded: list[Overloaded] = []
        self.locked_out: list[LockedOut] = []
        self.collapsed: list[int] = []
        self.reasons: list[str] = []
        self.outcomes: list[Outcome] = []
        self.residual_a = 0.0

    def begin(self, number: int, island: Island) -> None:
        """The nodes of an island, before it is solved."""
        for node in island.nodes:
            self.islands[node] = number
        if not island.referenced and len(island.nodes) > 1:
            self.floating.append(island.nodes)

    def end(self, island: Island) -> None:
        """Potentials are voltages where the island has its reference."""
        if island.referenced:
            for node in island.nodes:
                self.volts[node] = self.potentials[node]

    def leave_open(self, island: Island) -> None:
        """Nothing is known of an island without an operating point."""
        for places, values in (
            (island.nodes, self.potentials),
            (island.branches, self.branch_a),
            (island.sources, self.source_a),
            (island.powers, self.power_a),
            (island.currents, self.current_a),
            (island.diodes, self.diode_a),
        ):
            for n in places:
                values[n] = None

    def finished(self) -> Solution:
        """All that was found, as a solution."""
        return Solution(
            outcome=_worst(self.outcomes),
            reason="; ".join(dict.fromkeys(self.reasons)),
            volts=tuple(self.volts),
            branch_a=tuple(self.branch_a),
            source_a=tuple(self.source_a),
            source_mode=tuple(self.source_mode),
            power_a=tuple(self.power_a),
            power_state=tuple(self.power_state),
            current_a=tuple(self.current_a),
            diode_a=tuple(self.diode_a),
            floating=tuple(self.floating),
            adrift=tuple(sorted(self.adrift)),
            overloaded=tuple(sorted(self.overloaded, key=lambda item: item.source)),
            locked_out=tuple(sorted(self.locked_out, key=lambda item: item.load)),
            collapsed=tuple(sorted(self.collapsed)),
            residual_a=self.residual_a,
            potentials=tuple(self.potentials),
            islands=tuple(self.islands),
        )


def _worst(outcomes: Sequence[Outcome]) -> Outcome:
    """The worst of some outcomes."""
    return next((outcome for outcome in _WORST_FIRST if outcome in outcomes), Outcome.SOLVED)
