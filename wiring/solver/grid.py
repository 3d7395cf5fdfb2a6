"""An island in numbers: unknowns, the matrix on its pattern, and one linear network for every combination of modes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct, field

from wiring.disjoint_sets import DisjointSets
from wiring.solver.islands import Island
from wiring.solver.ldl import Factor, Pattern, factor, pattern
from wiring.solver.network import Network, Scalar
from wiring.solver.state import DRAW_SLOPE, Line, LoadRegion, State, diode_line, draw_line, source_line

LEAK = 1e-12  # weight of a blocked element against an idle load when both tie a loose part to the rest

Ends = tuple[int, int]


class Frame:
    """A pattern with the branches already entered."""

    __slots__ = ("fixed", "shape")

    def __init__(self, size: int, branches: Sequence[Line], others: Iterable[Ends]) -> None:
        edges = [(line.a, line.b) for line in branches]
        edges.extend(others)
        self.shape: Pattern = pattern(size, edges)
        self.fixed = self.shape.blank()
        for line in branches:
            self.shape.enter(self.fixed, line.a, line.b, line.g)


class Grid(Struct):
    """`ground` is the index all grounded nodes share, one above the last unknown."""

    network: Network
    island: Island
    phasors: bool
    ground: int = 0
    unknown: dict[int, int] = field(default_factory=dict)
    branches: list[Line] = field(default_factory=list)
    sources: list[Ends] = field(default_factory=list)
    diodes: list[Ends] = field(default_factory=list)
    currents: list[Ends] = field(default_factory=list)
    powers: list[Ends] = field(default_factory=list)
    joined: DisjointSets = field(default_factory=lambda: DisjointSets(0))
    frame: Frame | None = None
    loaded_frame: Frame | None = None

    def __post_init__(self) -> None:
        grounded = dict.fromkeys(self.island.grounds)
        inner = [node for node in self.island.nodes if node not in grounded]
        self.ground = len(inner)
        self.unknown = dict.fromkeys(self.island.grounds, self.ground)
        self.unknown.update(zip(inner, range(self.ground), strict=True))
        network, at = self.network, self.unknown
        for index in self.island.branches:
            branch = network.branches[index]
            self.branches.append(Line(at[branch.a], at[branch.b], 1.0 / branch.ohm, 0.0, 0.0))
        self.sources = [(at[network.sources[i].plus], at[network.sources[i].minus]) for i in self.island.sources]
        self.diodes = [(at[network.diodes[i].a], at[network.diodes[i].b]) for i in self.island.diodes]
        self.currents = [(at[network.currents[i].a], at[network.currents[i].b]) for i in self.island.currents]
        self.powers = [(at[network.powers[i].a], at[network.powers[i].b]) for i in self.island.powers]
        self.joined = DisjointSets(self.ground + 1)
        for line in self.branches:
            self.joined.join(line.a, line.b)

    def bare(self) -> Frame:
        if self.frame is None:
            self.frame = Frame(self.ground, self.branches, self._switched())
        return self.frame

    def loaded(self) -> Frame:
        """The frame whose pattern also holds the constant-power loads, for Newton's method."""
        if self.loaded_frame is None:
            self.loaded_frame = Frame(self.ground, self.branches, [*self._switched(), *self.powers])
        return self.loaded_frame

    def _switched(self) -> list[Ends]:
        return [*self.sources, *self.diodes, *self.currents]

    def linear(self, state: State) -> Linear:
        """The linear network of these modes."""
        sources, diodes, draws, joined = self._lines(state)
        lines = [*sources, *diodes, *draws]
        right: list[Scalar] = [0.0] * (self.ground + 1)
        for a, b, g, e, j in lines:
            push = g * e - j
            right[a] += push
            right[b] -= push
        roots = [joined.find(index) for index in range(self.ground + 1)]
        home = roots[self.ground]
        pins = sorted({root for root in roots if root != home})
        values = self._values(self.bare(), lines, pins)
        solver = factor(self.bare().shape, values)
        linear = Linear(self, state.modes(), solver, right, sources, diodes, draws, roots, pins)
        if pins:
            linear.ties = self._ties(linear)
        return linear

    def _lines(self, state: State) -> tuple[list[Line], list[Line], list[Line], DisjointSets]:
        network, island, joined = self.network, self.island, self.joined.copy()
        sources = [
            source_line(network.sources[index], mode, *ends)
            for index, mode, ends in zip(island.sources, state.sources, self.sources, strict=True)
        ]
        diodes = [
            diode_line(network, index, on, *ends)
            for index, on, ends in zip(island.diodes, state.diodes, self.diodes, strict=True)
        ]
        draws: list[Line] = []
        if not self.phasors:
            draws = [
                draw_line(network.currents[index].amps, draw, *ends)
                for index, draw, ends in zip(island.currents, state.draws, self.currents, strict=True)
            ]
        for line in (*sources, *diodes, *draws):
            if line.g:
                joined.join(line.a, line.b)
        return sources, diodes, _sloped(draws, state.draws, joined), joined

    def _values(self, frame: Frame, lines: Iterable[Line], pins: Iterable[int]) -> list[Scalar]:
        values = frame.fixed.copy()
        for a, b, g, _, _ in lines:
            if g:
                frame.shape.enter(values, a, b, g)
        for pin in pins:
            frame.shape.enter(values, pin, self.ground, 1.0)
        return values

    def jacobian(self, linear: Linear, slopes: Iterable[tuple[int, int, float]]) -> Factor:
        """The factor with each load's slope entered; raises NotPositive beyond the point of collapse."""
        frame = self.loaded()
        values = self._values(frame, linear.lines(), linear.pins)
        for a, b, siemens in slopes:
            frame.shape.enter(values, a, b, siemens)
        return factor(frame.shape, values)

    def _ties(self, linear: Linear) -> list[tuple[int, int, float]]:
        """What ties the loose parts to the rest: idle loads first, blocked elements after."""
        idle = [(a, b, 1.0) for a, b in self.powers]
        if self.phasors:
            idle += [(a, b, 1.0) for a, b in self.currents]
        else:
            idle += [(line.a, line.b, 1.0) for line in linear.draws if not line.g]
        idle += [(line.a, line.b, LEAK) for line in (*linear.sources, *linear.diodes) if not line.g]
        return [tie for tie in idle if linear.roots[tie[0]] != linear.roots[tie[1]]]


def _sloped(draws: list[Line], modes: Sequence[LoadRegion], joined: DisjointSets) -> list[Line]:
    """Loads that draw across parts nothing else joins get a slope, so that a chain of loads has one solution."""
    if all(joined.find(line.a) == joined.find(line.b) for line in draws):
        return draws
    sloped: list[Line] = []
    for line, mode in zip(draws, modes, strict=True):
        bridging = mode is LoadRegion.FULL and joined.find(line.a) != joined.find(line.b)
        sloped.append(line._replace(g=DRAW_SLOPE * line.j) if bridging else line)
    for line in sloped:
        if line.g:
            joined.join(line.a, line.b)
    return sloped


class Linear(Struct):
    """One linear network: factor, injections, and the parts (`roots`) that conduction joins.

    A part without ground is pinned at its least unknown; no current can flow through the pin, because nothing that
    carries current leaves the part. Its level then follows from what ties it to the rest.
    """

    grid: Grid
    modes: tuple[object, ...]
    factor: Factor
    right: list[Scalar]
    sources: list[Line]
    diodes: list[Line]
    draws: list[Line]
    roots: list[int]
    pins: list[int]
    ties: list[tuple[int, int, float]] = field(default_factory=list)
    monotone: bool = False  # proven for the loads it was given; fewer of them cannot change that

    def lines(self) -> list[Line]:
        return [*self.sources, *self.diodes, *self.draws]

    def volts(self, right: Sequence[Scalar]) -> list[Scalar]:
        """Voltages of the unknowns, and 0.0 for ground, under these injections."""
        found = self.factor.solve(right)
        return self.levelled(found)

    def joined(self, ends: Ends) -> bool:
        return self.roots[ends[0]] == self.roots[ends[1]]

    def levelled(self, volts: list[Scalar]) -> list[Scalar]:
        """The loose parts moved to where their ties hold them."""
        if not self.pins:
            return volts
        home = self.roots[self.grid.ground]
        count = len(self.pins)
        part = {root: index for index, root in enumerate(self.pins)}
        part[home] = count
        ties = [(part[self.roots[a]], part[self.roots[b]], a, b, weight) for a, b, weight in self.ties]
        shape = pattern(count, [(first, second) for first, second, *_ in ties])
        values, right = shape.blank(), [0.0 * volts[0]] * (count + 1)
        for first, second, a, b, weight in ties:
            shape.enter(values, first, second, weight)
            gap = weight * (volts[b] - volts[a])
            right[first] += gap
            right[second] -= gap
        levels = factor(shape, values).solve(right)
        return [value + levels[part[root]] for value, root in zip(volts, self.roots, strict=True)]
