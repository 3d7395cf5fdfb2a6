"""What the trade of each rulebook uses: colours, insulation, first sizes, and where each type of conductor lies."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from wiring.plan.site import Mains

#: Lengths in a cabinet: share of width plus height inside, and along a rail [m] (common practice, no source).
_INSIDE, _TRUNK_M, _HINGE_M = 0.4, 0.25, 0.3
_FEET = 0.3048
#: The rail of all controls [V].
CONTROL_V = 24.0


#: Fuses of class CC end there [A] (UL 248-4); what holders of larger ones and switches for them take, and its least.
MOST_CC_A, WIDE, WIDE_LEAST = 30.0, "14..2 AWG", "14 AWG"


def is_thick(rulebook: str, mains: Mains | None) -> bool:
    """Whether the feed is too thick for the terminals of small devices, as one of North America above 30 A is: its
    breaker promises no time in which it opens a short circuit."""
    upstream = mains.upstream if mains is not None else None
    return rulebook == "na" and upstream is not None and upstream.rating > MOST_CC_A


class Book(Struct, frozen=True):
    """Colours by what a conductor is, its insulation, and the sizes that sizing begins with."""

    colours: Mapping[str, str]
    insulation: str
    rated: str
    sizes: Mapping[str, str]
    least: str
    clamps: str
    bar: str


_USES = {
    "infeed": ("line", "thick", "trunk", "inlet"),
    "infeed-n": ("neutral", "thick", "trunk", "inlet"),
    "line": ("line", "branch", "inside", "duct-mains"),
    "neutral": ("neutral", "branch", "inside", "duct-mains"),
    "inverter": ("line", "thick", "inside", "duct-inverter"),
    "earth": ("earth", "thick", "inside", ""),
    "earth-branch": ("earth", "branch", "inside", ""),
    "trunk": ("power", "thick", "trunk", "dc-trunk"),
    "trunk-return": ("power-return", "thick", "trunk", "dc-trunk"),
    "motor": ("power", "branch", "inside", "duct-dc"),
    "motor-return": ("power-return", "branch", "inside", "duct-dc"),
    "control-trunk": ("control", "branch", "trunk", "control-trunk"),
    "control-trunk-return": ("control-return", "branch", "trunk", "control-trunk"),
    "control": ("control", "thin", "inside", "duct-control"),
    "control-return": ("control-return", "thin", "inside", "duct-control"),
    "door": ("control", "thin", "door", "door-loom"),
    "door-return": ("control-return", "thin", "door", "door-loom"),
    "signal": ("control", "signal", "inside", "duct-signal"),
    "signal-return": ("control-return", "signal", "inside", "duct-signal"),
    "motor-cable": ("", "branch", "", ""),
    "inverter-cable": ("", "branch", "", ""),
    "load-cable": ("", "branch", "", ""),
    "stop-cable": ("", "thin", "", ""),
    "sensor-cable": ("", "signal", "", ""),
}
BOOKS = {
    "iec": Book(
        {"line": "BK", "neutral": "LBU", "earth": "GNYE", "power": "BK", "power-return": "BK", "control": "DBU",
         "control-return": "DBU"},
        "pvc-70", "500 V", {"thick": "2.5 mm2", "branch": "1.5 mm2", "thin": "0.75 mm2", "signal": "0.5 mm2"},
        "0.5 mm2", "0.2..2.5 mm2", "0.5..16 mm2",
    ),
    "na": Book(
        {"line": "BK", "neutral": "WH", "earth": "GNYE", "power": "BK", "power-return": "WHBU", "control": "BU",
         "control-return": "WHBU"},
        "MTW", "600 V", {"thick": "12 AWG", "branch": "14 AWG", "thin": "18 AWG", "signal": "20 AWG"},
        "20 AWG", "24..12 AWG", "20..6 AWG",
    ),
}  # fmt: skip
ROUTES: Mapping[str, Mapping[str, object]] = {
    "inlet": {"kind": "open"},
    "distribution": {"kind": "open"},
    "dc-trunk": {"kind": "open"},
    "control-trunk": {"kind": "open"},
    "duct-mains": {"kind": "duct", "size": "40 x 80 mm"},
    "duct-inverter": {"kind": "duct", "size": "40 x 80 mm"},
    "duct-dc": {"kind": "duct", "size": "40 x 80 mm", "apart": {"duct-mains": "100 mm", "duct-inverter": "100 mm"}},
    "duct-control": {
        "kind": "duct",
        "size": "80 x 80 mm",
        "apart": {"duct-mains": "200 mm", "duct-inverter": "300 mm", "duct-dc": "100 mm"},
    },
    "duct-signal": {
        "kind": "duct",
        "size": "60 x 80 mm",
        "apart": {"duct-mains": "250 mm", "duct-inverter": "350 mm", "duct-dc": "150 mm"},
    },
    "door-loom": {"kind": "loom", "at": "door", "apart": {"duct-mains": "200 mm", "duct-inverter": "300 mm"}},
    "field-inverter": {"kind": "tray", "at": "machine", "size": "60 x 60 mm"},
    "field-mains": {"kind": "tray", "at": "machine", "size": "60 x 60 mm"},
    "field-power": {
        "kind": "tray",
        "at": "machine",
        "size": "100 x 60 mm",
        "apart": {"field-inverter": "200 mm", "field-mains": "100 mm"},
    },
    "field-signals": {
        "kind": "tray",
        "at": "machine",
        "size": "100 x 60 mm",
        "apart": {"field-inverter": "400 mm", "field-power": "300 mm", "field-mains": "300 mm"},
    },
}


def with_return(name: str, rulebook: str) -> str:
    """The type of the way back: one of its own where the rulebook gives it another colour."""
    return name if rulebook == "iec" else f"{name}-return"


def length_text(metres: float, rulebook: str) -> str:
    """A length in the unit of the rulebook's trade."""
    return f"{metres:.3g} m" if rulebook == "iec" else f"{metres / _FEET:.2g} ft"


def wire_type(name: str, rulebook: str, size: str | None, box: tuple[float, float]) -> dict[str, object]:
    """A type of conductor; `box` is width and height of the cabinet [m]."""
    book = BOOKS[rulebook]
    colour, first, place, route = _USES[name]
    width, height = box
    lengths = {"trunk": _TRUNK_M, "inside": _INSIDE * (width + height), "door": width + 0.5 * height + _HINGE_M}
    found: dict[str, object] = {"size": size or book.sizes[first]}
    if colour:
        found["colour"] = book.colours[colour]
    found |= {"insulation": book.insulation, "rated": book.rated}
    if place:
        found["length"] = length_text(lengths[place], rulebook)
    if route:
        found["route"] = route
    if rulebook == "iec":
        found |= {"ferrule": True, "conductor_class": "5"} if place else {"conductor_class": "5"}
    return found
