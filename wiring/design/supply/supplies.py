"""The power budget: what every supply delivers in every state, and what it may deliver at the cabinet's temperature."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from msgspec import Struct

from wiring.circuit.roles import Rail, Role
from wiring.design.enclosure.cabinet_temperature import Inside
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.elements import Output
from wiring.parts.incoming import Transformer
from wiring.parts.sources import RegulatedSource
from wiring.rulebooks.enclosure import derated
from wiring.rulebooks.steps import SUPPLY_A, TRANSFORMER_VA, first_at_least
from wiring.solver.operating import OperatingPoint


class SupplyFigure(Struct, frozen=True):
    """One supply in one state. Currents in ampere, `headroom` a share of what is available (negative: overloaded).

    `limit_a` is where its overload mode sets in. `carried` is False when no operating point exists at this load.
    """

    current_a: float
    peak_a: float
    rated_a: float
    available_a: float
    limit_a: float
    volts: float
    watts: float
    carried: bool
    live: bool

    @property
    def headroom(self) -> float:
        """Share of the available current that is left."""
        return 1.0 - self.current_a / self.available_a if self.available_a > 0 else float("-inf")


def main_outputs(part: Part) -> list[tuple[int, Output]]:
    """The power outputs of a part with their place among its elements; signal outputs are none."""
    return [(n, e) for n, e in enumerate(part.elements) if isinstance(e, Output) and e.rated_a and e.name == "output"]


def available(rated_a: float, part: Part, device_c: float) -> float:
    """Current that a supply may deliver for ever at a cabinet temperature [A].

    A supply without derating data keeps its rated current; `supply-overloaded` says that it could not be judged.
    """
    data = part.data
    if not isinstance(data, RegulatedSource) or data.derating is None:
        return rated_a
    return derated(rated_a, data.derating.start, data.derating.slope, device_c)


def needed_rating(part: Part, current_a: float, device_c: float, free: float = 0.0) -> float:
    """Rating at which a part delivers a current at a cabinet temperature and keeps a share `free` [A or VA].

    Infinite where no rating does.
    """
    share = (1.0 - free) * available(1.0, part, device_c)
    return rating_at(part, current_a / share) if share > 0.0 else inf


def rating_at(part: Part, current_a: float) -> float:
    """The rating that goes with a rated current: the current itself, of a transformer its apparent power [VA]."""
    return current_a * part.data.secondary.volts if isinstance(part.data, Transformer) else current_a


def supply_steps(part: Part) -> tuple[float, ...]:
    """The ratings that a part of its kind is sold with [A, of a transformer VA]."""
    return TRANSFORMER_VA if isinstance(part.data, Transformer) else SUPPLY_A


def supply_words(part: Part, least: float) -> str:
    """The smallest supply that is sold with a rating, in words; "" where none is that large."""
    step = first_at_least(supply_steps(part), least)
    unit = "VA" if isinstance(part.data, Transformer) else "A"
    return "" if step is None else f"{step:g} {unit}"


def _delivered(part: Part, n: int, output: Output, point: OperatingPoint) -> tuple[float, float, bool]:
    """Current and voltage of an output, and whether an operating point exists for it.

    A supply that shuts down is told with the current that it was asked for.
    """
    layer = point.layer(output.kind)
    keys, solution = layer.assembled.source_keys, layer.solution
    if (part.name, n) not in keys:
        return 0.0, 0.0, True
    source = keys.index((part.name, n))
    demand = next((entry.demand_a for entry in solution.overloaded if entry.source == source), None)
    if demand is not None:
        return demand, 0.0, False
    amps = solution.source_a[source]
    if amps is None:
        return 0.0, 0.0, False
    volts = abs(point.between((part.name, output.plus), (part.name, output.minus), output.kind))
    return abs(amps), volts, True


def _wanted(machine: Machine, point: OperatingPoint, part: Part, output: Output) -> float:
    """Current that the loads ask of a supply that cannot carry them: the sum of what they draw at its voltage."""
    rail = Rail(Role.PLUS if output.kind == "DC" else Role.AC, part.name)
    members = set(machine.roles.at.get(rail, ()))
    total = 0.0
    for other in machine.parts.values():
        for k, element in enumerate(other.elements):
            node = (other.name, getattr(element, "a", ""))
            if node not in members or other.name == part.name:
                continue
            demand = point.position.demand.get((other.name, k))
            watts = demand.watts if demand else getattr(element, "watts", None)
            watts = point.input_w.get((other.name, k), watts or 0.0)
            total += watts
    volts = machine.nets.volts_of(part.name)
    return total / volts if volts > 0.0 else 0.0


def supply_figures(machine: Machine, operation: Operation, inside: Inside) -> Mapping[str, Mapping[str, SupplyFigure]]:
    """The budget of every supply and converter, by part and state."""
    found: dict[str, dict[str, SupplyFigure]] = {}
    for part in machine.parts.values():
        for n, output in main_outputs(part):
            rows = found.setdefault(part.name, {})
            for state in operation.state_entries:
                rows[state] = _figure(machine, operation, inside, part, n, output, state)
    return found


def _figure(
    machine: Machine, operation: Operation, inside: Inside, part: Part, n: int, output: Output, state: str
) -> SupplyFigure:
    point = operation.loaded[state]
    current, volts, carried = _delivered(part, n, output, point)
    peak, _, peak_carried = _delivered(part, n, output, operation.peaks[state])
    rated = output.rated_a or 0.0
    if not carried:
        current = max(current, _wanted(machine, point, part, output))
    if not peak_carried:
        peak = max(peak, current, output.limit_a or 0.0)
    return SupplyFigure(
        current,
        max(peak, current),
        rated,
        available(rated, part, inside.device_c),
        output.limit_a if output.limit_a is not None else float("inf"),
        volts,
        current * volts,
        carried or current <= rated,
        (part.name, n) in point.live,
    )
