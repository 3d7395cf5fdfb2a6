"""The drop that a load bears, and the size at which one conductor keeps it."""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.conductor.load_drops import LoadDrop
from wiring.design.design import Design
from wiring.parts.signals import Encoder, IoCard, Sensor
from wiring.quantities import WireSize
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled

#: Electronics fed with no more than this count as logic, for which the trade keeps a smaller drop [V].
LOGIC_V = tabled("common", "logic_voltage").value


_ELECTRONICS = (IoCard, Encoder, Sensor)


def drop_limit(design: Design, load: LoadDrop) -> Limit | NotTabled:
    """The drop that a load bears [%]: less for electronics at logic voltage."""
    logic = isinstance(design.parts[load.part].data, _ELECTRONICS) and load.kind == "DC" and load.nominal_v <= LOGIC_V
    return design.book.voltage_drop_limit("logic" if logic else "machine")


def size_that_keeps(design: Design, conductor: Conductor, load: LoadDrop, limit: Limit) -> WireSize | None:
    """The size at which this conductor, on its way, would bring the load within its limit alone, or None."""
    own_v = abs(design.operation.loaded[load.state].between(conductor.a, conductor.b, load.kind))
    allowed_v = limit.value / 100.0 * load.nominal_v - (load.drop_v - own_v)
    if allowed_v <= 0 or conductor.size is None:
        return None
    return design.book.size_of_area(conductor.size.area_mm2 * own_v / allowed_v)
