"""The line of words under a designation: what the builder called the part, and its rating."""

from __future__ import annotations

from wiring.drawing.units import Form, Unit
from wiring.parts.base import Part, PartModel
from wiring.parts.drives import Inverter
from wiring.parts.incoming import Transformer
from wiring.parts.protection import Disconnector, MainPoles
from wiring.plan.ratings import PhaseCurrent, Rated, Voltage, VoltageRange
from wiring.quantities import show


def volts_words(value: Voltage | VoltageRange) -> str:
    """A voltage or a range of them with its kind."""
    if isinstance(value, Voltage):
        return f"{show(value.volts, 'voltage')} {value.kind}".strip()
    low, high = show(value.low, "voltage"), show(value.high, "voltage")
    figure = high if value.low == value.high else f"{low.removesuffix(' V')}..{high}"
    return f"{figure} {value.kind}".strip()


def rated_words(value: Rated) -> str:
    """What is taken at which voltage; a voltage alone where no more is known."""
    if (value.watts, value.amps, value.va) == (None, None, None):
        return volts_words(value.voltage)
    if value.amps is not None:
        taken = show(value.amps, "current")
    else:
        taken = show(value.watts, "power") if value.watts is not None else f"{value.va:g} VA"
    return f"{volts_words(value.voltage)} {taken}"


def _amps(data: PartModel, name: str) -> str:
    value = getattr(data, name, None)
    return show(value, "current") if isinstance(value, float) else ""


def _of_guard(data: PartModel) -> str:
    words = [getattr(data, "curve", None) or getattr(data, "class_", None) or ""]
    words.append(_amps(data, "rating") or _amps(data, "setting") or _amps(data, "rated"))
    residual = _amps(data, "residual")
    return " ".join(word for word in (*words, residual) if word)


def rating(part: Part) -> str:
    """The rating of a part in a few words, empty where it has none."""
    data = part.data
    if isinstance(data, MainPoles) and not isinstance(data, Disconnector):
        return _of_guard(data)
    rated = getattr(data, "rated", None)
    if isinstance(data, Inverter) and isinstance(rated, float):
        return show(rated, "power")
    if isinstance(data, Transformer):
        return show(data.rated, "apparent power")
    for name in ("coil", "rated", "supply"):
        value = getattr(data, name, None)
        if isinstance(value, Rated):
            return rated_words(value)
    output = getattr(data, "output", None)
    if isinstance(output, Voltage):
        return " ".join(word for word in (volts_words(output), _amps(data, "rated")) if word)
    current = getattr(data, "phase_current", None)
    if isinstance(current, PhaseCurrent):
        return f"{show(current.amps, 'current')} {current.convention}"
    power = getattr(data, "rated_power", None)
    if isinstance(power, float):
        return show(power, "power")
    return _passive(part)


def _passive(part: Part) -> str:
    for name, dimension in (("resistance", "resistance"), ("capacitance", "capacitance")):
        value = getattr(part.data, name, None)
        if isinstance(value, float):
            return show(value, dimension)
    return _amps(part.data, "rated")


def notes_of(unit: Unit, part: Part) -> tuple[str, ...]:
    """The words under the designation of a unit: none for the units beside the main one."""
    title = part.data.title
    if unit.form is Form.BOND:
        return (title,) if title else ()
    if not unit.main:
        return (unit.what,) if unit.what.startswith("channels") else ()
    words = rating(part)
    return tuple(word for word in (title or part.kind.replace("-", " "), words) if word)
