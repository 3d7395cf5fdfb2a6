"""The functions that sheets show: mains, DC, an axis, stop and control, inputs and outputs, loads, bonding."""

from __future__ import annotations

from collections.abc import Mapping

MAINS, DC, STOP, IO, PROCESS, BOND = "mains", "dc", "stop", "io", "process", "bond"
AXIS, HINT = "axis:", "hint:"
#: What stands at the ring of a shield, on whichever sheet that is.
AT_RING = "ring"
_TITLES = {
    MAINS: "Mains inlet and distribution",
    DC: "DC distribution",
    STOP: "Stop and control circuit",
    IO: "Inputs and outputs",
    PROCESS: "Process and other loads",
    BOND: "Protective bonding",
}
_SHORT = {
    MAINS: "Mains",
    DC: "DC",
    STOP: "Stop and control",
    IO: "Inputs and outputs",
    PROCESS: "Loads",
    BOND: "Bonding",
}
_CONTROL = "Control supply"
_ORDER = (MAINS, DC, AXIS, STOP, IO, PROCESS, HINT, BOND)
#: Which of several neighbours a terminal follows, the first that is there.
FOLLOWS = (BOND, AXIS, STOP, PROCESS, IO, HINT, DC, MAINS)


def base_of(sheet: str) -> str:
    """The function without its name: `axis:` for axis:D1."""
    for prefix in (AXIS, HINT):
        if sheet.startswith(prefix):
            return prefix
    return sheet


def rank_of(sheet: str) -> tuple[int, str]:
    """The order of the functions in a set."""
    return _ORDER.index(base_of(sheet)), sheet


def title_of(sheet: str, axes: Mapping[str, str], *, has_dc: bool) -> str:
    """What the sheet is called; `axes` gives the title of a drive. A machine without DC has a control supply of AC."""
    if sheet == DC and not has_dc:
        return _CONTROL
    if sheet.startswith(AXIS):
        name = sheet.removeprefix(AXIS)
        return f"Axis {name} {axes.get(name, '')}".strip()
    return sheet.removeprefix(HINT) if sheet.startswith(HINT) else _TITLES[sheet]


def short_title_of(sheet: str, *, has_dc: bool) -> str:
    """The title in short, for a sheet that shows more than one function."""
    if sheet == DC and not has_dc:
        return _CONTROL
    return sheet.removeprefix(AXIS).removeprefix(HINT) if sheet not in _SHORT else _SHORT[sheet]
