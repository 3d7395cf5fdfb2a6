"""The voltages that conductors bring into each route."""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.design import Design
from wiring.design.supply.levels import conductor_level, motor_levels
from wiring.design.supply.rail_levels import Level


def levels_by_route(design: Design) -> dict[str, list[tuple[Conductor, Level | None]]]:
    """Conductors with the voltage that they bring, by their route; one without a route for itself."""
    places: dict[str, list[tuple[Conductor, Level | None]]] = {}
    motors = motor_levels(design.machine)
    for conductor in design.circuit.conductors:
        if conductor.kind != "shield" and design.roles.of_conductor(conductor) is not Role.PE:
            level = conductor_level(design.machine, conductor, motors)
            places.setdefault(conductor.route or f" {conductor.id}", []).append((conductor, level))
    return places
