"""Random networks that hold every kind of element the solver knows, in every mode that has a steady state.

A machine of several galvanically separate rails: each a tree of conductors out and one back with meshes, and its own
reference, the 0 V of the rail. The same for the same seed.
"""

from __future__ import annotations

import random
from cmath import rect
from collections.abc import Callable
from math import radians

from wiring.solver.network import Branch, CurrentLoad, Diode, Network, Overload, PowerLoad, VoltageSource

SETTINGS_V = (5.0, 12.0, 24.0, 48.0, 72.0)


class _Draw(random.Random):
    """Values with five digits, as a data sheet prints them: ngspice keeps eleven of those in its expressions."""

    def uniform(self, a: float, b: float) -> float:
        return float(f"{super().uniform(a, b):.5g}")


class _Rail:
    """Nodes `first` to `end` - 1: the reference, the outgoing half below `half`, the return half.

    `heads` are the nodes where lines begin; `line` tells which of them every outgoing node hangs on.
    """

    def __init__(self, first: int, count: int, draw: _Draw, heads: int = 1) -> None:
        self.first, self.draw = first, draw
        self.half = first + max(3, count // 2)
        self.end = first + count
        self.heads = range(first + 1, min(first + 1 + heads, self.half))
        self.line = {head: head for head in self.heads}
        self.branches: list[Branch] = []
        self.sources: list[VoltageSource] = []
        self.powers: list[PowerLoad] = []
        self.currents: list[CurrentLoad] = []
        self.diodes: list[Diode] = []

    def hot(self, line: int | None = None) -> int:
        """An outgoing node, of one line if that matters."""
        return self.draw.choice([node for node, head in self.line.items() if line in (None, head)])

    def back(self) -> int:
        return self.draw.randrange(self.half, self.end) if self.half < self.end else self.first

    def tree(self, ohm: tuple[float, float], reactance: float = 0.0) -> None:
        draw = self.draw
        for node in range(self.heads.stop, self.half):
            near = draw.choice(list(self.line)[-8:])
            self.line[node] = self.line[near]
            self.join(near, node, ohm, reactance)
        for node in range(self.half, self.end):
            near = max(self.half - 1, node - draw.randint(1, 8))
            self.join(self.first if near == self.half - 1 else near, node, ohm, reactance)
        for _ in range((self.end - self.first) // 40):
            a = self.hot()
            self.join(a, self.hot(self.line[a]), ohm, reactance)

    def join(self, a: int, b: int, ohm: tuple[float, float], reactance: float) -> None:
        if a != b:
            value = self.draw.uniform(*ohm)
            self.branches.append(
                Branch(a, b, complex(value, self.draw.uniform(0.0, reactance * value)) if reactance else value)
            )


class _Direct(_Rail):
    """A rail at 0 Hz with one of four ways to be fed."""

    def __init__(self, first: int, count: int, draw: _Draw) -> None:
        super().__init__(first, count, draw)
        self.volts = draw.choice(SETTINGS_V)
        self.budget_w = draw.uniform(0.01, 0.1) * self.volts**2
        feed = draw.choice((self.stiff, self.two_in_parallel, self.through_diodes, self.at_its_limit))
        self.tree((0.002, 0.05))
        feed()
        self.idle_elements()

    def source(self, plus: int, volts: float, overload: Overload, limit_a: float | None) -> None:
        self.sources.append(VoltageSource(plus, self.first, volts, self.draw.uniform(0.005, 0.05), overload, limit_a))

    def stiff(self) -> None:
        self.source(self.first + 1, self.volts, Overload.STIFF, None)
        self.loads()

    def two_in_parallel(self) -> None:
        """The lower of the two is blocked, or takes over what the other cannot give."""
        draw, head = self.draw, self.first + 1
        enough = 3.0 * self.budget_w / self.volts
        self.source(
            head, self.volts + draw.uniform(0.2, 0.8), Overload.CONSTANT_CURRENT, draw.uniform(0.1, 1.0) * enough
        )
        self.source(head, self.volts, draw.choice((Overload.HICCUP, Overload.LATCH_OFF)), 3.0 * enough)
        self.loads()

    def through_diodes(self) -> None:
        """Two supplies that reach the rail through a diode each: the higher one carries it."""
        draw = self.draw
        for plus in (self.end - 1, self.end - 2):
            self.branches = [b for b in self.branches if plus not in (b.a, b.b)]
            self.branches.append(Branch(plus, self.first, 1000.0))
            self.source(plus, self.volts + draw.uniform(0.0, 1.0), Overload.STIFF, None)
            self.diodes.append(Diode(plus, self.first + 1, draw.uniform(0.3, 0.8), draw.uniform(0.005, 0.05)))
        self.end -= 2
        self.loads()

    def at_its_limit(self) -> None:
        """Resistances and constant currents that together ask for more than the supply gives."""
        limit = self.budget_w / self.volts
        self.source(self.first + 1, self.volts, Overload.CONSTANT_CURRENT, limit)
        self.currents.append(CurrentLoad(self.hot(), self.back(), 0.3 * limit))
        for _ in range(3):
            self.branches.append(Branch(self.hot(), self.back(), self.draw.uniform(0.5, 2.0) * self.volts / limit))

    def loads(self) -> None:
        draw = self.draw
        count = max(2, (self.end - self.first) // 20)
        for number in range(count):
            a, b = self.hot(), self.back()
            watts = draw.uniform(0.2, 1.0) * self.budget_w / count
            if number % 3 == 0:
                self.powers.append(PowerLoad(a, b, watts, 0.5 * self.volts))
            elif number % 3 == 1:
                self.currents.append(CurrentLoad(a, b, watts / self.volts))
            else:
                self.branches.append(Branch(a, b, self.volts**2 / watts))

    def idle_elements(self) -> None:
        """A free-wheeling diode that blocks, and a load that never starts."""
        a, b = self.hot(), self.back()
        self.diodes.append(Diode(b, a, 0.7, 0.05))
        self.powers.append(PowerLoad(a, b, 5.0, 2.0 * self.volts))
        self.currents.append(CurrentLoad(b, a, 0.05))


def direct(nodes: int, seed: int) -> Network:
    """Rails at 0 Hz: conductors, resistances, stiff and limited sources, diodes, constant currents and powers."""
    draw = _Draw(seed)
    return _together(nodes, draw, lambda first, count: _Direct(first, count, draw))


class _Mains(_Rail):
    """A rail at mains frequency: one, two or three lines, reactances, lagging loads from a line back or to another."""

    def __init__(self, first: int, count: int, draw: _Draw) -> None:
        angles = draw.choice(((0.0,), (0.0, 180.0), (0.0, -120.0, 120.0)))
        super().__init__(first, count, draw, len(angles))
        self.volts = draw.choice((24.0, 120.0, 230.0))
        self.tree((0.005, 0.1), 0.5)
        for head, angle in zip(self.heads, angles, strict=False):
            self.sources.append(VoltageSource(head, first, rect(self.volts, radians(angle)), draw.uniform(0.01, 0.2)))
        self.loads()

    def loads(self) -> None:
        draw = self.draw
        count = max(3, (self.end - self.first) // 20)
        budget_w = draw.uniform(0.005, 0.05) * self.volts**2
        for number in range(count):
            a = self.hot()
            b = draw.choice([self.back(), *(self.hot(head) for head in self.heads if head != self.line[a])])
            watts, factor = draw.uniform(0.2, 1.0) * budget_w / count, draw.uniform(0.5, 1.0)
            if number % 3 == 0:
                self.powers.append(PowerLoad(a, b, watts, 0.0, factor))
            elif number % 3 == 1:
                self.currents.append(CurrentLoad(a, b, watts / self.volts, factor))
            else:
                self.branches.append(Branch(a, b, complex(1.0, draw.uniform(0.0, 1.0)) * self.volts**2 / watts))


def phasors(nodes: int, seed: int) -> Network:
    """Rails at mains frequency: phasor sources, impedances, lagging constant powers and currents."""
    draw = _Draw(seed)
    return _together(nodes, draw, lambda first, count: _Mains(first, count, draw))


def _together(nodes: int, draw: _Draw, make: Callable[[int, int], _Rail]) -> Network:
    rails = []
    count = draw.randint(1, max(1, min(4, nodes // 10)))
    first = 0
    for number in range(count):
        size = nodes // count if number < count - 1 else nodes - first
        rails.append(make(first, size))
        first += size

    def of(name):
        return tuple(item for rail in rails for item in getattr(rail, name))

    return Network(
        nodes,
        tuple(rail.first for rail in rails),
        *(of(name) for name in ("branches", "sources", "powers", "currents", "diodes")),
    )
