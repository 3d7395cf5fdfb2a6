"""The whole sheet of the first power-up of a plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wiring.powerup import (
    arrange,
    bonding,
    branches,
    cold,
    contacts_open,
    continuity,
    dark,
    drives,
    feedback,
    incoming_mains,
    isolation,
    loop,
    motion,
    neighbours,
    operated_stages,
    stop_devices,
    supplies,
    unseen,
    windings,
    wires,
)
from wiring.powerup.builder import Builder
from wiring.powerup.step import Sheet, Stage

if TYPE_CHECKING:
    from wiring.design.design import Design


def build(design: Design, failed: Sequence[str] = ()) -> Builder:
    """The builder with every line of the sheet; `failed` are the rules that judged nothing because they failed."""
    to = Builder(design, tuple(failed))
    isolation.lock_off(to)
    cold.by_eye(to)
    bonding.bonding(to)
    cold.shorts(to)
    continuity.continuity(to)
    windings.windings(to)
    contacts_open.poles_open(to)
    neighbours.insulation_between(to)
    with to.annex():
        wires.wires(to)
    cold.insulation(to)
    wires.main_switch(to)
    incoming_mains.mains(to)
    dark.dark_branches(to)
    seen = supplies.supplies(to)
    branches.branches(to, seen)
    dark.dark_beside_others(to)
    refused = feedback.refused_with_a_branch(to)
    operated_stages.control_stage(to, seen)
    dark.dead_loads(to)
    operated_stages.inputs_stage(to)
    stop_devices.stop_stage(to)
    if not refused:
        found = feedback.refusals(to, operated_stages.ready_setting(to))
        feedback.refused_reset(to, Stage.STOP, found)
    contacts_open.worked_contacts_open(to)
    contacts_open.devices_open(to)
    drives.drives(to)
    loop.fault_loops(to)
    isolation.residual_voltage_stage(to)
    motion.motion(to)
    motion.under_load(to)
    motion.heat_soak_stage(to)
    motion.after_change_stage(to)
    unseen.unseen(to)
    arrange.arrange(to)
    return to


def sheet(design: Design) -> Sheet:
    """The first power-up of a design, line by line."""
    return build(design).sheet()
