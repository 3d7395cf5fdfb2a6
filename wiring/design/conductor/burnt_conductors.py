"""Conductors with what a short circuit lets through them and what they bear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Conductor
from wiring.design.design import Design
from wiring.design.device.devices import SUPPLEMENTARY
from wiring.design.fault.clearing import greatest_energy
from wiring.design.fault.records import ConductorFault, Short
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import Device
from wiring.rulebooks.earthing import ADIABATIC_HEATING_MAX_S
from wiring.rulebooks.insulation import ASSUMED
from wiring.rulebooks.overcurrent import LASTING_FACTOR, withstood_energy


class BurntConductor(Struct, frozen=True):
    """A conductor that a short circuit burns: factor k, current [A], what is let through and what it bears [A2s]."""

    conductor: Conductor
    row: ConductorFault
    k: Limit
    short: Short
    amps: float
    energy: float
    bears: Limit


def heated_conductors(design: Design) -> Iterator[tuple[ConductorFault, Conductor, Limit | NotTabled]]:
    """Every conductor of known ampacity behind a device, with the factor k of its material."""
    factors: dict[tuple[str, float, float], Limit | NotTabled] = {}
    for row in design.short_circuits.conductors:
        wire = design.circuit.conductor[row.id]
        figure = design.conductors.get(row.id)
        if wire.size is None or figure is None or isinstance(figure.ampacity, NotTabled) or not row.device:
            continue
        kind = (wire.insulation or ASSUMED[design.plan.rulebook], figure.insulation_c, wire.size.area_mm2)
        yield row, wire, factors.get(kind) or factors.setdefault(kind, design.book.k_factor(*kind))


def unsized_conductors(design: Design) -> Iterator[str]:
    """The conductors behind a device whose size the plan does not give."""
    for row in design.short_circuits.conductors:
        if row.device and row.id in design.conductors and design.circuit.conductor[row.id].size is None:
            yield row.id


def let_through(
    design: Design, row: ConductorFault, known: Mapping[str, Device] | None = None
) -> Iterator[tuple[Short, float, float]]:
    """The short circuits at both ends of a conductor with their current [A] and what is let through at it [A2s].

    Those that flow for longer than heat stays in the conductor belong to overload. `known` are the devices, where they
    are other than those of the plan.
    """
    known = known or design.short_circuits.known
    for short, amps in ((row.lowest, row.lowest.lowest.initial_a), (row.highest, row.highest.highest.initial_a)):
        energy = greatest_energy(known, short, amps)
        if not short.origin.cuts_out and energy <= ADIABATIC_HEATING_MAX_S * amps**2:
            yield short, amps, energy


def spared_by_class(design: Design, found: BurntConductor) -> bool:
    """Whether its breaker would spare a burnt conductor if it were of energy limiting class 3, which the plan leaves
    open; one of an unknown curve with the commonest curve."""
    known = design.short_circuits.known
    device = known.get(found.row.device)
    if device is None or device.family != "breaker" or device.standard == SUPPLEMENTARY or device.energy_class:
        return False
    limiting = {**known, found.row.device: replace(device, energy_class="3", curve=device.curve or "C")}
    return burnt(design, found.row, found.conductor, found.k, limiting) is None


def burnt(
    design: Design, row: ConductorFault, wire: Conductor, k: Limit, known: Mapping[str, Device] | None = None
) -> BurntConductor | None:
    """What burns a conductor before its device opens; None where nothing does."""
    ampacity = design.conductors[row.id].ampacity
    assert wire.size is not None
    assert isinstance(ampacity, Limit)
    bears = Limit(withstood_energy(k.value, wire.size.area_mm2), "A2s", k.source, f"k = {k.value:.0f}")
    for short, amps, energy in let_through(design, row, known):
        if amps > LASTING_FACTOR * ampacity.value and bears.value < energy:
            return BurntConductor(wire, row, k, short, amps, energy, bears)
    return None
