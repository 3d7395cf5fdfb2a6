"""Smallest conductors for a place and a use, and the largest device allowed ahead of a small one."""

from __future__ import annotations

from wiring.quantities import WireSize
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.conductors import gauge_size, largest_not_above
from wiring.rulebooks.tables import load

USES = ("power", "control", "data")


def _iec_construction(cores: int, shielded: bool, conductor_class: str) -> str:
    if cores >= 3:
        return "multicore"
    if cores == 2:
        return "two-core-shielded" if shielded else "two-core"
    return "single-flexible" if conductor_class in ("5", "6") else "single-rigid"


def _iec(location: str, use: str, construction: str, moving: bool) -> Limit | NotTabled:
    table = load("iec", "minimum_sizes")
    moved = use == "power" and moving and location == "machine"
    row = table.row(location, "power-moving" if moved else use, construction)
    if row is None and use == "data":
        row = table.row(location, "control", construction)
    if row is None:
        kind = "solid or coarsely stranded conductor that moves" if moved else f"{use} conductor in the {location}"
        return NotTabled(f"no smallest size is tabled for a {kind}")
    return row.limit("minimum_mm2", row.text("note"))


def _na(location: str, use: str, cores: int, shielded: bool) -> Limit | NotTabled:
    if use == "data" and shielded:
        return NotTabled(
            "NFPA 79 12.6.4.3 leaves shielded and data conductors to the maker of the electronic equipment"
        )
    row = load("na", "minimum_sizes").row(location, use, "multicore" if cores >= 2 else "single")
    if row is None:
        return NotTabled(f"no smallest size is tabled for a {use} conductor in the {location}")
    size = gauge_size("awg", row.text("size_awg"))
    return Limit(size.area_mm2, "mm2", row.source, "; ".join(part for part in (size.text, row.text("note")) if part))


def minimum_size(
    book: str,
    location: str,
    use: str,
    *,
    cores: int = 1,
    shielded: bool = False,
    conductor_class: str = "5",
    moving: bool = False,
) -> Limit | NotTabled:
    """Smallest copper cross-section in mm2; in "na" the true area of a gauge, which the note names.

    `location` "enclosure" or "machine"; `use` "power", "control" or "data"; `cores` of the cable, 1 for a single wire;
    `conductor_class` "1", "2", "5", "6" of IEC 60228. Source: IEC 60204-1:2016 table 5; NFPA 79 12.6.
    ValueError for another location or use.
    """
    if location not in ("enclosure", "machine") or use not in USES:
        raise ValueError(f"no such place or use: {location!r}, {use!r}")
    if book == "na":
        return _na(location, use, cores, shielded)
    return _iec(location, use, _iec_construction(cores, shielded, conductor_class), moving)


def _gauge_at_most(name: str, size: WireSize) -> WireSize | None:
    labels = dict.fromkeys(row.text("size_awg") for row in load("na", name).rows)
    return largest_not_above(size, tuple(gauge_size("awg", label) for label in labels))


def largest_device(book: str, size: WireSize, circuit: str) -> Limit | NotTabled:
    """Largest overcurrent device allowed ahead of a small conductor, A, whatever its ampacity.

    `circuit` "power", "control" or "motor". A size thicker than 10 AWG has no such limit; mm2 is judged as the next
    smaller gauge. Source: NFPA 70 240.4(D), NFPA 79 12.6.1 and 7.2.4. The IEC book has no such table.
    """
    if book == "iec":
        return NotTabled("the IEC book sets the device by the ampacity alone")
    if circuit == "motor":
        return NotTabled("the device of a motor circuit follows the current of the motor, 240.4(G)")
    if size.area_mm2 >= gauge_size("awg", "8").area_mm2:
        return NotTabled("conductors of 8 AWG and thicker follow their ampacity")
    name = "control_conductors" if circuit == "control" else "small_conductors"
    judged = _gauge_at_most(name, size)
    row = load("na", name).row(judged.label) if judged else None
    if judged is None or row is None:
        return NotTabled(f"no device is allowed ahead of a {circuit} conductor as thin as {size.text}")
    note = row.text("note") if circuit == "control" else row.text("condition")
    words = "" if judged.label == size.label and size.system == "awg" else f"{size.text} is judged as {judged.text}"
    return row.limit("device_max_a", "; ".join(part for part in (words, note) if part))


def largest_load(book: str, size: WireSize, circuit: str, overload_class: str = "20") -> Limit | NotTabled:
    """Largest load allowed on 16 or 18 AWG in a power or motor circuit, A; for other sizes the ampacity alone counts.

    `circuit` "power" or "motor", whose overload relay is of class "10" or "20". Source: NFPA 70 240.4(D) and 430.22(G),
    which follow NFPA 79 12.6.1.
    """
    small = book == "na" and size.area_mm2 < gauge_size("awg", "14").area_mm2 * (1 - 1e-9)
    judged = _gauge_at_most("small_conductors_machine", size) if small else None
    key = ("motor", overload_class) if circuit == "motor" else (circuit, "")
    row = load("na", "small_conductors_machine").row(judged.label, *key) if judged else None
    if judged is None or row is None or row.number_or_none("load_max_a") is None:
        return NotTabled(f"the load on {size.text} is limited by its ampacity alone")
    return row.limit("load_max_a", f"{judged.text}; {row.text('device_kind')}")
