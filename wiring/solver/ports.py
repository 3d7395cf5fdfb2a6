"""The network as its loads see it: open voltages and transfer impedances, small and dense.

Used only when the quick descent of `loads` fails: to prove that there is no operating point, or to follow the loads as
they rise together from nothing to their full power.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from wiring.solver.network import Scalar

if TYPE_CHECKING:
    from wiring.solver.grid import Linear
    from wiring.solver.loads import Load

MOST = 120  # loads the dense method takes on
FIRST_STEP = 0.125
LAST_STEP = 1e-4
CORRECTIONS = 12
LONGEST_MOVE = 0.25  # of its voltage, that a load may move in one step of the rise


class Ports(Struct, frozen=True):
    """`opened[k]` volts at load k without load, `ohm[j][k]` fall of load j's voltage for one ampere at load k."""

    opened: tuple[Scalar, ...]
    ohm: tuple[tuple[Scalar, ...], ...]
    powers: tuple[Scalar, ...]
    amps: tuple[Scalar, ...]
    phasors: bool

    def is_monotone(self) -> bool:
        """Whether every load's current depresses every load's voltage (as they stand without load)."""
        ways = [value / abs(value) for value in self.opened]
        for row, way in zip(self.ohm, ways, strict=True):
            scale = max(abs(entry) for entry in row)
            for entry, k in zip(row, range(len(ways)), strict=True):
                turned = self._direction(k) * ways[k] * way.conjugate() * entry
                if turned.real < -1e-12 * scale:
                    return False
        return True

    def _direction(self, k: int) -> Scalar:
        current = self.powers[k].conjugate() + self.amps[k]
        return current / abs(current) if current else 1.0


def see(linear: Linear, loads: Sequence[Load], start: Sequence[Scalar]) -> Ports:
    """One solve a load."""
    columns = []
    for load in loads:
        right: list[Scalar] = [0.0] * len(linear.right)
        right[load.a] += 1.0
        right[load.b] -= 1.0
        reply = linear.factor.solve(right)
        columns.append([other.volts(reply) for other in loads])
    return Ports(
        opened=tuple(load.volts(start) for load in loads),
        ohm=tuple(zip(*columns, strict=True)),
        powers=tuple(load.power for load in loads),
        amps=tuple(load.amps for load in loads),
        phasors=linear.grid.phasors,
    )


def ramp(seen: Ports, loads: Sequence[Load]) -> tuple[float, list[Scalar] | None]:
    """Follow the operating point while every load rises from 0 to its full power.

    The share of the power reached, and the voltages across the loads, or None where the path turns back before 1.
    """
    share, step = 0.0, FIRST_STEP
    across = list(seen.opened)
    while share < 1.0:
        target = min(1.0, share + step)
        moved = _correct(seen, loads, across, target)
        if moved is None:
            step /= 2.0
            if step < LAST_STEP:
                return share, None
            continue
        share, across = target, moved
        step = min(2.0 * step, FIRST_STEP)
    return share, across


def _correct(seen: Ports, loads: Sequence[Load], across: list[Scalar], share: float) -> list[Scalar] | None:
    """Newton at a fixed share of the power, from a neighbouring point; None where it strays or passes the fold."""
    now = across
    for _ in range(CORRECTIONS):
        currents = [share * load.current(value) for load, value in zip(loads, now, strict=True)]
        gap = [
            value - opened + sum([ohm * amps for ohm, amps in zip(row, currents, strict=True)])
            for value, opened, row in zip(now, seen.opened, seen.ohm, strict=True)
        ]
        slopes = [_slope(load, value, share) for load, value in zip(loads, now, strict=True)]
        sign, step = _dense(seen, slopes, gap)
        if sign <= 0.0:
            return None
        now = [value - change for value, change in zip(now, step, strict=True)]
        if any(abs(new - old) > LONGEST_MOVE * abs(old) for new, old in zip(now, across, strict=True)):
            return None
        if all(abs(change) <= 1e-11 * abs(value) for change, value in zip(step, now, strict=True)):
            return now
    return None


def _slope(load: Load, volts: Scalar, share: float) -> tuple[Scalar, Scalar]:
    """Change of the load's current for a change of its voltage, and for one of its conjugate."""
    if load.amps:
        size = abs(volts)
        return share * load.amps / (2.0 * size), -share * load.amps * volts * volts / (2.0 * size**3)
    turned = volts.conjugate()
    return 0.0, -share * load.power.conjugate() / (turned * turned)


def _dense(seen: Ports, slopes: Sequence[tuple[Scalar, Scalar]], gap: Sequence[Scalar]) -> tuple[float, list[Scalar]]:
    """Sign of the Jacobian's determinant, and the step; real unknowns, twice as many for phasors."""
    count = len(gap)
    if not seen.phasors:
        rows = [
            [row[k].real * (slopes[k][0] + slopes[k][1]).real + (j == k) for k in range(count)] + [gap[j].real]
            for j, row in enumerate(seen.ohm)
        ]
        sign, answer = _eliminate(rows)
        return sign, list(answer)
    rows = [[0.0] * (2 * count + 1) for _ in range(2 * count)]
    for j, row in enumerate(seen.ohm):
        for k in range(count):
            plain, mirrored = row[k] * slopes[k][0] + (j == k), row[k] * slopes[k][1]
            both, apart = plain + mirrored, plain - mirrored
            rows[2 * j][2 * k], rows[2 * j][2 * k + 1] = both.real, -apart.imag
            rows[2 * j + 1][2 * k], rows[2 * j + 1][2 * k + 1] = both.imag, apart.real
        rows[2 * j][-1], rows[2 * j + 1][-1] = gap[j].real, gap[j].imag
    sign, answer = _eliminate(rows)
    return sign, [complex(answer[2 * k], answer[2 * k + 1]) for k in range(count)]


def _eliminate(rows: list[list[float]]) -> tuple[float, list[float]]:
    """Gaussian elimination with row exchange on [matrix | right]: sign of the determinant (0 if singular), solution."""
    count = len(rows)
    sign = 1.0
    for k in range(count):
        best = max(range(k, count), key=lambda i: abs(rows[i][k]))
        if best != k:
            rows[k], rows[best] = rows[best], rows[k]
            sign = -sign
        top = rows[k]
        if abs(top[k]) < 1e-14:
            return 0.0, [0.0] * count
        sign = -sign if top[k] < 0.0 else sign
        for row in rows[k + 1 :]:
            share = row[k] / top[k]
            if share:
                row[k:] = [value - share * other for value, other in zip(row[k:], top[k:], strict=True)]
    answer = [0.0] * count
    for k in range(count - 1, -1, -1):
        answer[k] = (rows[k][-1] - sum([rows[k][i] * answer[i] for i in range(k + 1, count)])) / rows[k][k]
    return sign, answer
