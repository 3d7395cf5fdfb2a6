"""Rails behind a rectifier: how high they stand at no load, and how much they ripple."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.fault.records import ShortCircuits
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.bus import rectified_peak, ripple_voltage
from wiring.parts.drives import Drive
from wiring.parts.elements import Input, Output
from wiring.parts.incoming import Transformer
from wiring.parts.sources import Capacitor, Converter, Rectifier
from wiring.rulebooks.limits import tabled

#: What the mains may stand at, in their nominal voltage.
HIGHEST_MAINS = tabled("iec", "ac_supply_voltage_max")


class Bearer(Struct, frozen=True):
    """A part on a rail and the highest voltage that it bears [V], with the key that says so."""

    part: str
    volts: float
    key: str


class Unregulated(Struct, frozen=True):
    """The rail of one rectifier. `highest_v` at no load and high mains, `loaded_v` under its largest load `load_a`.

    `ripple_v` is from peak to peak, None without a mains frequency or a capacitor; `capacitance_f` counts capacitors
    and drives. `regulation` is that of its transformer, "" where the mains are rectified directly.
    """

    rectifier: str
    transformer: str
    ac_v: float
    regulation: float
    highest_v: float
    loaded_v: float
    load_a: float
    state: str
    capacitance_f: float
    ripple_v: float | None
    bearers: tuple[Bearer, ...]


def _transformer(machine: Machine, faults: ShortCircuits, part: Part) -> Part | None:
    """The transformer that feeds a rectifier."""
    paths = faults.paths
    feed = next(e for e in part.elements if isinstance(e, Input))
    for end in (feed.a, feed.b):
        reached = paths.hot.get((part.name, end))
        if reached is not None:
            source = machine.parts.get(paths.origins[reached.origin].part)
            return source if source and isinstance(source.data, Transformer) else None
    return None


def _bearers(machine: Machine, nodes: Sequence[Node]) -> Iterator[Bearer]:
    for name in sorted({node[0] for node in nodes}):
        data = machine.parts[name].data
        if isinstance(data, Drive) and data.supply.kind == "DC":
            yield Bearer(name, data.bus_limit or data.supply.high, "bus_limit" if data.bus_limit else "supply")
        elif isinstance(data, Capacitor) and data.rated_voltage is not None:
            yield Bearer(name, data.rated_voltage.volts, "rated_voltage")
        elif isinstance(data, Converter):
            yield Bearer(name, data.input.high, "input")


def _capacitance(machine: Machine, nodes: Sequence[Node]) -> float:
    total = 0.0
    for name in sorted({node[0] for node in nodes}):
        data = machine.parts[name].data
        if isinstance(data, Capacitor):
            total += data.capacitance
        elif isinstance(data, Drive):
            total += data.bus_capacitance or 0.0
    return total


def _load(operation: Operation, part: Part) -> tuple[float, float, str]:
    """Largest current of a rectifier over the states [A], the voltage then [V], and the state."""
    n, output = next((n, e) for n, e in enumerate(part.elements) if isinstance(e, Output))
    rows = []
    for state, point in operation.loaded.items():
        amps = abs(point.element_current("DC").get((part.name, n), 0.0))
        rows.append((amps, abs(point.between((part.name, output.plus), (part.name, output.minus), "DC")), state))
    return max(rows, key=lambda row: (row[0], row[2]))


def _ac_volts(faults: ShortCircuits, part: Part, transformer: Part | None) -> float:
    if transformer is not None and isinstance(transformer.data, Transformer):
        return transformer.data.secondary.volts
    feed = next(e for e in part.elements if isinstance(e, Input))
    short = faults.to_return.get((part.name, feed.a))
    return short.volts if short else 0.0


def unregulated_rails(machine: Machine, operation: Operation, faults: ShortCircuits) -> tuple[Unregulated, ...]:
    """Every rail behind a rectifier that is fed, by the name of the rectifier."""
    found = []
    for part in machine.parts.values():
        data = part.data
        if not isinstance(data, Rectifier):
            continue
        transformer = _transformer(machine, faults, part)
        ac_v = _ac_volts(faults, part, transformer)
        if ac_v <= 0.0:
            continue
        regulation = transformer.data.regulation if transformer and isinstance(transformer.data, Transformer) else 0.0
        nodes = faults.fed_by.get(part.name, ())
        capacitance = _capacitance(machine, nodes)
        amps, volts, state = _load(operation, part)
        hertz = machine.plan.mains.frequency if machine.plan.mains else None
        ripple = ripple_voltage(amps, hertz, capacitance) if hertz and capacitance > 0.0 else None
        found.append(
            Unregulated(
                part.name,
                transformer.name if transformer else "",
                ac_v,
                regulation,
                rectified_peak(ac_v, data.drop / 2.0, regulation, HIGHEST_MAINS.value - 1.0),
                volts,
                amps,
                state,
                capacitance,
                ripple,
                tuple(_bearers(machine, nodes)),
            )
        )
    return tuple(found)
