"""Words that several rules say, most of them on short circuits."""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from wiring.circuit.model import named
from wiring.design.conductor.conductors import WIREWAY_FREE
from wiring.design.device.devices import UPSTREAM
from wiring.design.fault.origins import lowest_source
from wiring.design.fault.records import Short
from wiring.design.motor.circuits import full_load
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.quantities import show
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design
from wiring.wording import listed


def amperes(value: float) -> str:
    """A current with a fitting unit, such as 4.015 kA."""
    return show(value, "current")


def device_called(design: Design, name: str, *, first: bool = False) -> str:
    """A protective device by its name in the plan, that of the building in words; `first` in a sentence."""
    mains = design.plan.mains
    if name != UPSTREAM or mains is None or mains.upstream is None:
        return name
    return f"{'The' if first else 'the'} {mains.upstream.kind} of the building"


def in_states(design: Design, states: Collection[str]) -> str:
    """Some states of a plan by their names, all of several at once as such."""
    every = len(states) == len(design.state_entries) > 1
    return "in every state" if every else f"in state {listed(tuple(states))}"


def joule_integral(value: float) -> str:
    """A Joule integral in full digits, four of them significant: data sheets mean different things by kA2s."""
    return show(value, "let-through energy")


def fault_numbers(short: Short) -> tuple[Number, ...]:
    """Where the short circuit is, its loop and its current."""
    where = f"{named(short.node)} to {named(short.against)}, conductors warm"
    return (
        Number("fault current", short.lowest.initial_a, "A", where, lowest_source(short)),
        Number("loop", short.hot_ohm, "ohm", f"at {short.volts:.3g} V {short.origin.kind}"),
    )


def full_load_number(part: Part) -> Number | None:
    """The full-load current of a motor as a figure; None where it is not known."""
    current = full_load(part)
    return Number("full load", current.value, "A", part.name, current.source) if isinstance(current, Limit) else None


def another_route(design: Design, name: str, amps: float) -> tuple[str, ...]:
    """The way out of a duct in which more conductors lie than may without adjustment, where that alone is enough.

    Source: NFPA 70 376.22(B), 30 conductors.
    """
    figure = design.conductors[name]
    conductor, laying = design.circuit.conductor[name], figure.laying
    crowded = design.plan.rulebook == "na" and laying.kind == "duct" and laying.loaded_conductors > WIREWAY_FREE
    if not crowded or conductor.size is None:
        return ()
    free = design.book.ampacity(conductor.size, figure.insulation_c, replace(laying, loaded_conductors=1))
    if not isinstance(free, Limit) or free.value < amps:
        return ()
    route = f"`{conductor.route}`" if conductor.route else "the duct"
    return (
        f"Lead conductors over another route, so that {route} holds {WIREWAY_FREE} loaded ones or fewer "
        f"(now {laying.loaded_conductors}): {conductor.size.text} then carries {free.value:.3g} A.",
    )
