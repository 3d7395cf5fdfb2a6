"""The whole sheet of the first power-up of a plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wiring.powerup import bonding, cold, drives, hands, live, loop, motion, unseen, windings, wires
from wiring.powerup.builder import Builder
from wiring.powerup.step import Sheet

if TYPE_CHECKING:
    from wiring.design.design import Design

#: What comes before everything, on every sheet.
FIRST = (
    "Never alone: a second person near, who knows where the power is cut.",
    "Mains steps are for qualified persons; local electrical code and the authority having jurisdiction decide.",
    "Before every step with hands inside: isolate, lock off, wait for capacitors, prove dead.",
    "Prove the meter on a known source before and after each look for dead.",
    "Live: one hand, dry, no rings, eye protection; leads and meter CAT III 300 V or better.",
    "Ohms only on a dead machine. Null the leads first (0.1 ohm to 0.3 ohm); capacitors make readings creep.",
    "A reading outside its limits stops the sheet: find the cause before the next line.",
)


def build(design: Design, failed: Sequence[str] = ()) -> Builder:
    """The builder with every line of the sheet; `failed` are the rules that judged nothing because they failed."""
    to = Builder(design, tuple(failed))
    cold.by_eye(to)
    cold.lock_off(to)
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
    motion.residual(to)
    motion.again(to)
    unseen.unseen(to)
    return to


def sheet(design: Design) -> Sheet:
    """The first power-up of a design, line by line."""
    return build(design).sheet()
