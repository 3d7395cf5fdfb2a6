"""Fuses, breakers and protectors in one table: what stands in every holder and what every dial is set to."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.documents.table import Cell, Column, Table, by_name
from wiring.parts.base import Part
from wiring.parts.protection import Disconnector, MainPoles, MotorProtector
from wiring.plan.ratings import Voltage

_COLUMNS = (
    Column("Device"),
    Column("Title"),
    Column("Kind"),
    Column("Poles"),
    Column("Rating", "A"),
    Column("Set to", "A"),
    Column("Curve or class"),
    Column("Residual", "A"),
    Column("Breaking", "A"),
    Column("Rated voltage"),
)
_NOTE = "Set to is the motor's rated current on the dial of a motor protector."


def protection_table(design: Design) -> Table:
    """One row for every device that opens by itself, in natural order."""
    found = [p for p in design.parts.values() if isinstance(p.data, MainPoles) and not isinstance(p.data, Disconnector)]
    notes = (_NOTE,) if any(isinstance(part.data, MotorProtector) for part in found) else ()
    return Table("Fuses and breakers", _COLUMNS, tuple(_row(part) for part in by_name(found, "name")), notes)


def _row(part: Part) -> tuple[Cell, ...]:
    data = part.data
    setting = data.setting if isinstance(data, MotorProtector) else None
    voltage = getattr(data, "rated_voltage", None)
    rating = getattr(data, "rating", None) or getattr(data, "rated", None)
    return (
        part.name,
        data.title,
        part.kind.replace("-", " "),
        str(getattr(data, "poles", "")),
        "" if rating is None else rating,
        "" if setting is None else setting,
        _characteristic(part),
        getattr(data, "residual", None) or "",
        getattr(data, "breaking", None) or "",
        f"{voltage.volts:g} V {voltage.kind}".strip() if isinstance(voltage, Voltage) else "",
    )


def _characteristic(part: Part) -> str:
    data = part.data
    words = [getattr(data, name, None) for name in ("curve", "class_", "trip_class", "type")]
    return " ".join(str(word) for word in words if word)
