"""Impedance of the loop that a short circuit closes, at any number of places of a lowered circuit at once.

Loads, coils and everything else that takes power count as taken off, save the motors that feed a fault back; every
source is its own resistance.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

from msgspec import Struct

from wiring.parts.elements import Output
from wiring.solver.driving_point import driving_point
from wiring.solver.lowering import ConductingElement, Lowered
from wiring.solver.network import Branch, Network, Scalar

#: Resistance of a path [ohm], above 0; with its reactance as a complex number.
PathOhm = Callable[[ConductingElement], Scalar]


class FeedingMotor(Struct, frozen=True):
    """A motor that turns on while its terminals are shorted: node indices, and ohm from each of them to its star."""

    terminals: tuple[int, ...]
    ohm: float


class FaultCurrent(Struct, frozen=True):
    """Current into a short circuit [A]: while a source still pulses, and what flows on after its pulse."""

    initial_a: float
    steady_state_a: float


def loop_impedances(
    lowered: Lowered,
    closed: Collection[str],
    path_ohm: PathOhm,
    pairs: Sequence[tuple[int, int]],
    motors: Sequence[FeedingMotor] = (),
    off: Collection[str] = (),
) -> tuple[float | None, ...]:
    """Size of the impedance between the ends of every pair of node indices [ohm], shape (len(pairs),).

    `closed` holds the ids of the paths that conduct; the sources of the parts `off` feed nothing. None where nothing
    that carries current joins the two ends.
    Raises ValueError for a resistance that is not above 0. Source: selected inverse, see `driving_point`.
    """
    branches = [
        Branch(edge.a, edge.b, path_ohm(edge)) for edge in lowered.edges if edge.id in closed and edge.a != edge.b
    ]
    branches += [branch for branch in lowered.mains_branches if branch.a != branch.b]
    branches += [Branch(source.plus, source.minus, source.ohm) for source in lowered.mains_sources]
    for part in lowered.circuit.parts.values():
        for element in part.of(Output) if part.name not in off else ():
            a, b = lowered.index[part.name, element.plus], lowered.index[part.name, element.minus]
            if a != b:
                branches.append(Branch(a, b, element.ohm))
    for star, motor in enumerate(motors, lowered.count):
        branches += [Branch(terminal, star, motor.ohm) for terminal in motor.terminals]
    found = driving_point(Network(lowered.count + len(motors), (lowered.earth,), tuple(branches)), pairs)
    return tuple(None if ohm is None else abs(ohm) for ohm in found.pair_ohm)


def limited_current(volts: float, ohm: float, limit_a: float, peak_a: float, cuts_out: bool) -> FaultCurrent:
    """Current of a source into a loop: Ohm's law or its limit, whichever is less; `limit_a` infinite for a stiff one.

    `peak_a` is what it gives for a moment, `cuts_out` says that it shuts down afterwards. `ohm` above 0.
    """
    ohmic = volts / ohm
    lasting = 0.0 if cuts_out else min(limit_a, ohmic)
    return FaultCurrent(min(max(limit_a, peak_a), ohmic), lasting)


def capacitor_energy(volts: float, capacitance_f: float, ohm: float) -> float:
    """Joule integral of a capacitor that a short circuit discharges [A2s]: C V2 / (2 R). Source: derived.

    The energy C V2 / 2 turns into heat in R, and heat is R times the integral of the squared current.
    """
    return 0.5 * capacitance_f * volts**2 / ohm
