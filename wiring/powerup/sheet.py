"""The whole sheet of the first power-up of a plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wiring.powerup import bonding, cold, drives, hands, isolation, live, loop, motion, unseen, windings, wires
from wiring.powerup.builder import Builder
from wiring.powerup.step import Sheet

if TYPE_CHECKING:
    from wiring.design.design import Design


def build(design: Design, failed: Sequence[str] = ()) -> Builder:
    """The builder with every line of the sheet; `failed` are the rules that judged nothing because they failed."""
    to = Builder(design, tuple(failed))
    isolation.lock_off(to)
    cold.by_eye(to)
    wires.main_switch(to)
    bonding.bonding(to)
    cold.shorts(to)
    wires.apart(to)
    cold.polarity(to)
    wires.wires(to)
    live.mains(to)
    seen = live.supplies(to)
    live.branches(to)
    hands.control(to, seen)
    hands.stops(to)
    drives.drives(to)
    loop.fault_loops(to)
    windings.windings(to)
    motion.motion(to)
    motion.under_load(to)
    motion.soak(to)
    isolation.residual(to)
    motion.again(to)
    unseen.unseen(to)
    return to


def sheet(design: Design) -> Sheet:
    """The first power-up of a design, line by line."""
    return build(design).sheet()
