"""Upkeep: what is tried, measured and renewed on this machine and when, and which fuses lie in the drawer."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from importlib.resources import files

from wiring.design.design import Design
from wiring.documents.shop_words import value_words
from wiring.documents.table import Cell, Column, Table, by_name
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.heating import ThermalCutOut, Thermostat
from wiring.parts.incoming import Inlet, PoleFuse
from wiring.parts.loads import Fan
from wiring.parts.motors import Brake
from wiring.parts.operators import EmergencyStop, Guarding, LimitSwitch
from wiring.parts.passive import Metalwork, Terminals
from wiring.parts.protection import (
    Disconnector,
    Fuse,
    MainPoles,
    MotorProtector,
    ResidualCurrentDevice,
    SurgeArrester,
)
from wiring.parts.signals import Sensor
from wiring.parts.sources import Converter, Supply
from wiring.parts.storage import Battery
from wiring.parts.switching import Contactor, Relay, SafetyRelay
from wiring.wording import natural

_COLUMNS = (
    Column("When"),
    Column("Power"),
    Column("What"),
    Column("Parts"),
    Column("Right when"),
    Column("Source of the interval"),
)
_NOTES = (
    "What the data sheet of a part asks goes before this list. Intervals are for a clean workshop and one shift a day: "
    "dust, damp, heat and more shifts ask for shorter ones.",
    "Power off: isolate, lock off, wait for capacitors to discharge, prove every conductor dead. Power on: nobody in "
    "reach of what moves or is hot, covers closed; measuring at live parts is for a qualified person.",
    "Operations are counted or reckoned: one a minute in one shift of 8 h makes 120 000 in a year of 250 days.",
    "What fails a test takes the machine out of service until it is mended. Write down date, name and reading.",
)
#: Own choice, no source: one spare for each that is in use, and no fewer than this.
_LEAST_SPARES = 2
_OF_KINDS: Mapping[str, type | tuple[type, ...]] = {
    "guards": Guarding,
    "brakes": Brake,
    "residual current devices": ResidualCurrentDevice,
    "supplies": (Supply, Converter),
    "thermostats": (Thermostat, ThermalCutOut),
    "motor protectors": MotorProtector,
    "arresters": SurgeArrester,
    "batteries": Battery,
    "contactors": Contactor,
    "relays": Relay,
    "safety relays": SafetyRelay,
    "emergency stops": EmergencyStop,
    "main switches": Disconnector,
    "screws": (MainPoles, Contactor, Terminals, Drive, Inlet),
}


def _stop_devices(design: Design) -> Iterator[str]:
    """Emergency stops, and what else calls for a stop but guards."""
    named = {name for stop in design.plan.stops.values() for name in stop.devices}
    for part in design.parts.values():
        is_other = part.name in named and not isinstance(part.data, Guarding | LimitSwitch)
        if isinstance(part.data, EmergencyStop) or is_other:
            yield part.name


def _limits(design: Design) -> Iterator[str]:
    for part in design.parts.values():
        if isinstance(part.data, LimitSwitch | Sensor) and part.data.purpose in ("limit", "over-travel"):
            yield part.name


def _fans(design: Design) -> Iterator[str]:
    """Fans of the cabinet; the cabinet itself where the plan gives it a fan that is no part."""
    found = [part.name for part in design.parts.values() if isinstance(part.data, Fan) and _in_cabinet(part)]
    enclosure = design.plan.enclosure
    if not found and enclosure is not None and enclosure.fan is not None:
        yield "cabinet"
    yield from found


def _in_cabinet(part: Part) -> bool:
    return part.data.at in ("cabinet", "door")


def _bonded(design: Design) -> Iterator[str]:
    for part in design.parts.values():
        if part.data.earth_terminal() is not None or isinstance(part.data, Metalwork):
            yield part.name


_OTHERS: Mapping[str, Callable[[Design], Iterator[str]]] = {
    "stop devices": _stop_devices,
    "limits": _limits,
    "fans": _fans,
    "bonding": _bonded,
    "cables": lambda design: (cable.cable for cable in design.plan.cables),
    "cabinet": lambda design: iter(["cabinet"] if design.plan.enclosure else []),
    "insulation": lambda design: iter([design.plan.mains.inlet or "cabinet"] if design.plan.mains else []),
}


@cache
def _table() -> tuple[dict[str, str], ...]:
    text = (files("wiring.documents") / "tables" / "upkeep.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def upkeep_table(design: Design) -> Table:
    """What this machine asks, in the order of the table, then its spare fuses; no row for parts that it has not."""
    found = {subject: _names(design, subject) for subject in {row["subject"] for row in _table()}}
    rows: list[tuple[Cell, ...]] = [
        (row["every"], row["power"], row["work"], " ".join(found[row["subject"]]), row["expected"], _source(row))
        for row in _table()
        if row["rulebook"] in ("both", design.plan.rulebook) and found[row["subject"]]
    ]
    rows += _spares(design)
    return Table("Upkeep", _COLUMNS, tuple(rows), _NOTES if rows else ())


def _names(design: Design, subject: str) -> list[str]:
    if subject in _OTHERS:
        return sorted(set(_OTHERS[subject](design)), key=natural)
    kinds = _OF_KINDS[subject]
    return sorted((part.name for part in design.parts.values() if isinstance(part.data, kinds)), key=natural)


def _source(row: Mapping[str, str]) -> str:
    return f"{row['source']} ({row['standing']})" if row["source"] else row["standing"]


def _spares(design: Design) -> list[tuple[str, ...]]:
    """One row for each sort of fuse, those built into inlets and batteries too."""
    found: dict[str, list[tuple[str, int]]] = {}
    for part in by_name(design.parts.values(), "name"):
        for words, count in _fuses(part):
            found.setdefault(words, []).append((part.name, count))
    return [_spare(words, found[words]) for words in sorted(found, key=natural)]


def _spare(words: str, places: list[tuple[str, int]]) -> tuple[str, ...]:
    used = sum(count for _, count in places)
    keep = f"Keep {max(used, _LEAST_SPARES)} of {words}; {used} in use"
    names = " ".join(name for name, _ in places)
    right = "same class, rating, voltage and breaking capacity; renewed when the cause is found"
    return ("always", "off", keep, names, right, "common practice, no source")


def _fuses(part: Part) -> Iterator[tuple[str, int]]:
    """The fuses in a part, in the words of a shop, and how many: one a pole, or one a line of an inlet."""
    data = part.data
    match data:
        case Fuse():
            yield _fuse_words(data), int(data.poles)
        case Inlet(fuse=PoleFuse() as fuse):
            yield _fuse_words(fuse), sum(pole.startswith("L") for pole in data.poles)
        case Battery(fuse=PoleFuse() as fuse):
            yield _fuse_words(fuse), 1


def _fuse_words(fuse: Fuse | PoleFuse) -> str:
    fields = type(fuse).model_fields
    said = {
        key: value_words(getattr(fuse, key), fields[key]) for key in ("class_", "rating", "rated_voltage", "breaking")
    }
    words = [said["class_"], said["rating"] or "rating not given", said["rated_voltage"]]
    words.append(f"breaking {said['breaking']}" if said["breaking"] else "")
    delay = ["time delay"] if isinstance(fuse, Fuse) and fuse.time_delay else []
    return ", ".join(["fuse " + " ".join(word for word in words[:3] if word), *words[3:4], *delay]).rstrip(", ")
