"""Fuses for direct current, and the terminals of the 24 V of all controls with its return."""

from __future__ import annotations

from wiring.describe.build import Build
from wiring.describe.draft import Slot
from wiring.requirement import Quantity

_SHARED = ("stop", "controller", "sensors", "operators")
#: The fuses of the 24 V rail, by what hangs behind each.
GROUPS = {
    "controls": "all controls",
    "stop": "stop circuit",
    "controller": "controller",
    "sensors": "limits and sensors",
    "operators": "operators and lamps",
    "process": "process",
    "fan": "cabinet fan",
}


def fuse(build: Build, title: str, section: str, usual: str, *, quick: bool) -> str:
    """A fuse for direct current: time-lag for what starts gently, gG or CC in front of a drive."""
    draft = build.draft
    name = draft.name("F", 11 if quick else 31)
    thick = build.description.battery is not None  # whose one chain leads to all of them
    rating = draft.chosen.size(name, Quantity.RATING, usual)
    data: dict[str, object] = {"kind": "fuse", "title": title, "rating": rating}
    if build.rulebook == "na":
        data |= {"class": "CC", "rated_voltage": "300 V DC", "breaking": "20 kA"}
        data |= {"sizes": "18..6 AWG" if thick else "18..8 AWG"}
    elif quick or thick:
        data |= {"class": "gG", "rated_voltage": "110 V DC", "breaking": "10 kA"}
        data |= {"sizes": "0.75..16 mm2" if thick else "0.75..10 mm2"}
    else:
        data |= {"class": "T", "rated_voltage": "60 V DC", "breaking": "1.5 kA", "sizes": "0.5..6 mm2"}
    return draft.part(section, name, {**data, "wires_per_terminal": "2"}, draft.chosen.reason(name))


def feed(build: Build, group: str) -> Slot:
    """A terminal with 24 V behind the fuse of that group, which is put in with the first one."""
    draft = build.draft
    row = draft.row("X1", "24 V feed by fuse")
    group = "controls" if build.small and group in _SHARED else group
    if group not in row.groups:
        device = fuse(build, GROUPS[group], "fuses of the controls", "2 A", quick=False)
        build.trunk.append(f"{device}:1")
        draft.wire("control", f"{device}:2", row.take(group), build.type("control"), f"24 V {GROUPS[group]}")
    return row.take(group)


def back(build: Build) -> Slot:
    """A terminal of the 24 V return."""
    return build.draft.row("X2", "24 V return").take()
