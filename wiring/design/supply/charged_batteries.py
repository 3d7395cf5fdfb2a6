"""Every battery with the chargers that stand on its rail, and the parts that stand there with it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.supply.excess_voltage import rated_voltage_of
from wiring.design.supply.given_voltages import voltages_given
from wiring.design.supply.paralleled_sources import battery_chargers
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.parts.storage import Battery, Charger
from wiring.rulebooks.batteries import cells_of, charging

#: Seconds in an hour: a charge [A·s] over it is a capacity [Ah].
_HOUR_S = 3600.0


class Charged(Struct, frozen=True):
    """A battery on charge. `lasting_v` is the highest voltage that a charger holds for ever, `highest_v` the highest
    for a time, `amps` what all chargers give it [A]. `cells` is None where neither they nor a chemistry are given.
    """

    part: Part
    data: Battery
    chargers: tuple[str, ...]
    lasting_v: float
    highest_v: float
    amps: float
    cells: int | None
    capacity_ah: float | None

    @property
    def is_boosted(self) -> bool:
        """Whether a charger brings its cells above the voltage at which they only float."""
        assert self.data.chemistry is not None
        assert self.cells
        return self.highest_v > charging(self.data.chemistry).most.value * self.cells * (1 + 1e-6)


def charged_batteries(design: Design) -> Iterator[Charged]:
    """The batteries of the plan that a charger of the plan charges."""
    found: dict[str, list[str]] = {}
    for charger, batteries in battery_chargers(design.machine, design.operation).items():
        for name in batteries:
            found.setdefault(name, []).append(charger)
    for name in sorted(found):
        yield _charged(design, design.parts[name], tuple(sorted(found[name])))


def _charged(design: Design, part: Part, names: tuple[str, ...]) -> Charged:
    data = part.data
    assert isinstance(data, Battery)
    chargers = [one for name in names if isinstance(one := design.parts[name].data, Charger)]
    lasting_v = max(one.output.volts for one in chargers)
    highest_v = max([lasting_v, *(one.boost.volts for one in chargers if one.boost)])
    cells = data.cells or (cells_of(data.voltage.volts, data.chemistry) if data.chemistry else None)
    capacity_ah = data.capacity / _HOUR_S if data.capacity else None
    amps = sum(one.rated for one in chargers)
    return Charged(part, data, names, lasting_v, highest_v, amps, cells, capacity_ah)


def overcharged_parts(design: Design, charged: Charged, share: float) -> list[str]:
    """The parts on the rail of a battery that bear less than its chargers bring it to; loads bear `share` of what they
    are rated for."""
    return [part.name for part in design.parts.values() if _is_overcharged(design, charged, part, share)]


def _is_overcharged(design: Design, charged: Charged, part: Part, share: float) -> bool:
    for element in part.of(Draw, Coil, Input) + part.of(Resistance):
        rated = rated_voltage_of(part, element, share)
        if rated is None or rated[0].kind == "AC" or part.name in charged.chargers:
            continue
        seen = [one for one in voltages_given(design.machine, part, element) if one.source in charged.chargers]
        if seen and charged.highest_v > rated[0].volts * rated[1] * (1 + 1e-6):
            return True
    return False
