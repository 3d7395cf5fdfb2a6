"""Cables that carry the switched voltage of a drive to its motor."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.nets import Net
from wiring.parts.drives import MainsDrive
from wiring.parts.elements import Function
from wiring.plan.conductors import Cable

#: A bus below this makes no steps that need a shield: the limit of low voltage for DC (Directive 2014/35/EU, article 1)
#: [V].
_EXTRA_LOW_V = 75.0


class DriveCable(Struct, frozen=True):
    """A cable with a core on the motor side of a `drive`; `index` is its place in the plan."""

    index: int
    cable: Cable
    drive: str


def drive_nets(machine: Machine) -> Mapping[Net, tuple[str, MainsDrive]]:
    """The inverters and servo drives, with their names, by the nets of their motor terminals."""
    return {
        machine.nets.of[part.name, end.name]: (part.name, part.data)
        for part in machine.parts.values()
        if isinstance(part.data, MainsDrive)
        for end in part.terminals.values()
        if end.function is Function.MOTOR
    }


def drive_cables(machine: Machine) -> Iterator[DriveCable]:
    """Every cable of the motor of an inverter or of a servo drive on the mains, past terminals as well."""
    drives = {net: name for net, (name, data) in drive_nets(machine).items() if data.supply.high > _EXTRA_LOW_V}
    for index, cable in enumerate(machine.plan.cables):
        nets = (machine.nets.of.get((ref.part, ref.terminal)) for ends in cable.join.values() for ref in ends)
        found = sorted({drives[net] for net in nets if net in drives})
        if found:
            yield DriveCable(index, cable, found[0])
