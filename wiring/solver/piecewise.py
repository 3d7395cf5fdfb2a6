"""Networks solved piece by piece: a piece that was solved once serves every other network that holds it."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.solver.answers import Answers
from wiring.solver.checks import is_complex
from wiring.solver.islands import Island, neighbours, split
from wiring.solver.network import Network
from wiring.solver.pieces import Piece, split_in_pieces
from wiring.solver.solution import LockedOut, Outcome, Overloaded, Solution
from wiring.solver.solve import Prepared, solve

#: Outcomes of a network that has no operating point, or none that is known.
_OPEN = (Outcome.COLLAPSED, Outcome.UNDECIDED)
#: Pieces solved before.
Known = dict[Network, Solution]


def solve_in_pieces(network: Network, prepared: Prepared, known: Known) -> Solution:
    """What `solve` answers, to rounding, from pieces that are `known` or become so.

    Where a piece has no operating point its whole island has none, as in `solve`; `collapsed` are that piece's loads.
    """
    near = neighbours(network) if prepared.pieces is None else ()
    if prepared.islands is None:
        prepared.islands = split(network, near)
    if any(len(island.grounds) > 1 for island in prepared.islands):
        return solve(network, prepared)
    if prepared.pieces is None:
        prepared.pieces = tuple(split_in_pieces(network, island, near) for island in prepared.islands)
    answer = _Answer(network, is_complex(network))
    for number, (island, pieces) in enumerate(zip(prepared.islands, prepared.pieces, strict=True)):
        answer.enter(number, island, pieces, known)
    return answer.finished()


class _Answer(Answers):
    """Takes the answers of pieces."""

    def enter(self, number: int, island: Island, pieces: tuple[Piece, ...], known: Known) -> None:
        """Take an island, piece by piece."""
        self.begin(number, island)
        if island.sources:
            found = [(piece, self._solved(piece, known)) for piece in pieces]
            open_ = [(piece, answer) for piece, answer in found if answer is not None and answer.outcome in _OPEN]
            if open_:
                self._without_point(island, open_)
            else:
                for piece, answer in found:
                    self._take(piece, answer)
        self.end(island)

    def _solved(self, piece: Piece, known: Known) -> Solution | None:
        """The answer of a piece; None where no source stands in it."""
        if not piece.sources:
            return None
        network = piece.network(self.network, self.phasors)
        found = known.get(network)
        if found is None:
            found = known[network] = solve(network)
        return found

    def _without_point(self, island: Island, open_: Sequence[tuple[Piece, Solution]]) -> None:
        for piece, answer in open_:
            self.outcomes.append(answer.outcome)
            self.reasons.append(answer.reason)
            self.collapsed += [piece.powers[n] for n in answer.collapsed]
        self.leave_open(island)

    def _take(self, piece: Piece, found: Solution | None) -> None:
        """Without sources nothing flows, and all of a piece stands as high as the node where it hangs."""
        base = self.potentials[piece.nodes[0]]
        above = found.potentials if found else (0.0,) * len(piece.nodes)
        for node, volts in zip(piece.nodes[1:], above[1:], strict=True):
            self.potentials[node] = base + volts  # type: ignore[operator]  # only an open outcome has none
        if found:
            self._take_currents(piece, found)
            self._take_states(piece, found)

    def _take_currents(self, piece: Piece, found: Solution) -> None:
        for places, values, into in (
            (piece.branches, found.branch_a, self.branch_a),
            (piece.sources, found.source_a, self.source_a),
            (piece.powers, found.power_a, self.power_a),
            (piece.currents, found.current_a, self.current_a),
            (piece.diodes, found.diode_a, self.diode_a),
        ):
            for n, value in zip(places, values, strict=True):
                into[n] = value

    def _take_states(self, piece: Piece, found: Solution) -> None:
        for n, mode in zip(piece.sources, found.source_mode, strict=True):
            self.source_mode[n] = mode
        for n, state in zip(piece.powers, found.power_state, strict=True):
            self.power_state[n] = state
        self.adrift.update(piece.nodes[n] for n in found.adrift)
        self.overloaded += [Overloaded(piece.sources[one.source], one.demand_a) for one in found.overloaded]
        self.locked_out += [LockedOut(piece.powers[one.load], one.volts) for one in found.locked_out]
        self.outcomes.append(found.outcome)
        self.residual_a = max(self.residual_a, found.residual_a)
