"""The machine in a fault: its short circuits, and who opens on them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.device.protective_devices import ProtectiveDevices
from wiring.design.fault.disconnection import Disconnection, disconnections
from wiring.design.fault.records import ShortCircuits
from wiring.design.fault.short_circuits import short_circuits
from wiring.design.machine import Machine
from wiring.design.motor.feeders import MotorFeeder, motor_feeders
from wiring.design.operation import Operation
from wiring.effort import found_once


class Faults(Struct, frozen=True, dict=True):
    """Short circuits of a machine whose contacts stand as they do at work."""

    machine: Machine
    operation: Operation
    devices: ProtectiveDevices

    @cached_property
    @found_once
    def short_circuits(self) -> ShortCircuits:
        """Short circuits everywhere, and what every protective device and conductor sees of them."""
        return short_circuits(self.machine, self.operation, self.devices)

    @cached_property
    def motor_feeders(self) -> Mapping[str, MotorFeeder]:
        """Conductors that feed several motor circuits, by id."""
        return motor_feeders(self.machine, self.operation, self.short_circuits, self.devices.protections)

    @cached_property
    def disconnections(self) -> Mapping[Node, Disconnection]:
        """Earth faults at the mains terminals of earthed parts, by terminal, and what clears them in time."""
        return disconnections(self.machine, self.devices, self.short_circuits)
