"""What a published feeder loses, by the network that the commands solve."""

from __future__ import annotations

from math import sqrt

from wiring.solver.network import Branch, CurrentLoad, Network, VoltageSource
from wiring.solver.solve import solve

#: Ends of a feeder's network: the source, the load, and the neutral or the return of both.
_SOURCE, _LOAD, _RETURN = 0, 1, 2
#: No wire and no source is ideal: far below what any example prints.
_STIFF_OHM = 1e-9


def dc_drop_v(current_a: float, ohm_per_m: float, length_m: float, conductors: int = 2) -> float:
    """Volts lost over one conductor, or over two for go and return."""
    there = Branch(_SOURCE, _LOAD, ohm_per_m * length_m)
    back = Branch(3, _RETURN, ohm_per_m * length_m if conductors == 2 else _STIFF_OHM)
    sent_v = 1.0 + 4 * current_a * ohm_per_m * length_m
    source = VoltageSource(_SOURCE, _RETURN, sent_v, _STIFF_OHM)
    load = CurrentLoad(_LOAD, 3, current_a)
    return _across(Network(4, (_RETURN,), (there, back), (source,), (), (load,)), _SOURCE, _RETURN, less=(_LOAD, 3))


def resistive_load_v(sent_v: float, wire_ohm: float, load_ohm: float) -> float:
    """Volts across a resistance behind two equal wires."""
    branches = (Branch(_SOURCE, _LOAD, wire_ohm), Branch(_LOAD, 3, load_ohm), Branch(3, _RETURN, wire_ohm))
    source = VoltageSource(_SOURCE, _RETURN, sent_v, _STIFF_OHM)
    return _across(Network(4, (_RETURN,), branches, (source,)), _LOAD, 3)


def _across(network: Network, a: int, b: int, less: tuple[int, int] = (0, 0)) -> float:
    """Volts from a to b, less those between two other nodes."""
    volts = [v for v in solve(network).volts if isinstance(v, float)]
    assert len(volts) == network.nodes
    return volts[a] - volts[b] - (volts[less[0]] - volts[less[1]])


def received_line_v(sent_line_v: float, sections: list[tuple[complex, float, float]]) -> float:
    """Line-to-line volts at the end of a balanced three-phase feeder, of which one phase to neutral is solved.

    Each section: impedance of one conductor [ohm], then current [A] and lagging power factor of the load at its end.
    """
    neutral = len(sections) + 1
    source = VoltageSource(_SOURCE, neutral, complex(sent_line_v / sqrt(3)), complex(_STIFF_OHM))
    branches = tuple(Branch(n, n + 1, ohm) for n, (ohm, _, _) in enumerate(sections))
    loads = tuple(CurrentLoad(n + 1, neutral, amps, factor) for n, (_, amps, factor) in enumerate(sections) if amps)
    end = solve(Network(neutral + 1, (neutral,), branches, (source,), (), loads)).volts[neutral - 1]
    assert end is not None
    return abs(end) * sqrt(3)


def sent_line_v(received_v: float, sections: list[tuple[complex, float, float]]) -> float:
    """Line-to-line volts to be sent so that an end receives its own: what is missing is added until none is."""
    sent = received_v
    for _ in range(20):
        sent += received_v - received_line_v(sent, sections)
    return sent
