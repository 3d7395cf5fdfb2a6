"""Every metal part at a point of its own, the rails that are earthed, and the rows of terminals as they came to be."""

from __future__ import annotations

from wiring.describe.build import Build
from wiring.requirement import Quantity
from wiring.wording import counted

_METAL = (
    ("MP", "mounting plate", "cabinet", 0.3),
    ("CAB", "cabinet body", "cabinet", 0.3),
    ("DR", "door", "door", 1.0),
)
_BARS = ("XPE", "XSH")
#: Terminals that one more axis takes, by the row: return of its rail, limits and home, steps, earths, shields.
_PER_AXIS = (("X3", 1), ("X4", 6), ("X7", 3), ("XPE", 2), ("XSH", 3), ("BED", 2))


def begin_earths(build: Build) -> None:
    """The incoming protective conductor, and the metal of cabinet and machine."""
    draft = build.draft
    bar = draft.row("XPE", "earth bar")
    from wiring.describe.draft import WireEntry

    draft.earths.append(WireEntry("PE", ["X0:PE", bar.take()], build.type("earth"), "incoming protective conductor"))
    for name, title, at, metres in _METAL:
        draft.earth(f"{name}:1", build.type("earth"), title, length=build.length(metres))
        draft.part(
            "earth and metal", name, {"kind": "metalwork", "title": title, "at": None if at == "cabinet" else at}
        )
    draft.earth(
        draft.row("BED", "machine frame").take(),
        build.type("earth"),
        "machine frame",
        length=build.length(build.description.cabinet.distance),
    )


def end_earths(build: Build) -> None:
    """The return of the controls, earthed once, and the bar of the shields."""
    draft = build.draft
    draft.earth(
        draft.row("X2", "24 V return").take(),
        build.type("earth-branch"),
        "24 V return",
        "the one point at which this rail is earthed",
    )
    if "XSH" in draft.rows:
        row = draft.row("XSH", "shield clamp bar")
        draft.earth(row.take(), build.type("earth"), "shield clamp bar")


def rows(build: Build) -> None:
    """Rows of terminals and bars with as many points as are used, and spares."""
    draft = build.draft
    for name, row in sorted(draft.rows.items(), key=lambda one: (one[0] in (*_BARS, "BED"), len(one[0]), one[0])):
        used = sum(row.groups.values())
        more = int(build.description.room)
        row.room = more * next((count for begin, count in _PER_AXIS if name.startswith(begin)), 0)
        why = f"{used} in use, the rest spare" + (
            f", with room for {counted(more, 'more axis', 'more axes')}" if row.room else ""
        )
        if name == "BED":
            draft.part(
                "earth and metal",
                name,
                {"kind": "metalwork", "title": row.title, "at": "machine", "points": str(row.points)},
                why,
            )
            continue
        quantity = draft.chosen.size(name, Quantity.CLAMP, build.book.bar if name in _BARS else build.book.clamps)
        if name in _BARS:
            bar = {"kind": "earth-bar", "title": row.title, "points": str(row.points), "sizes": quantity}
            draft.part("earth and metal", name, bar, why)
            continue
        bridges = row.bridges()
        volts = "500 V" if build.rulebook == "iec" else "600 V"
        amps = _AMPS.get(quantity, "17 A")
        data = {
            "kind": "terminals",
            "title": row.title,
            "points": str(row.points),
            "bridged": bridges or None,
            "rated": amps,
            "rated_voltage": volts,
            "sizes": quantity,
        }
        draft.part("terminals", name, data, why)


#: Rated current of a terminal by the conductors that it takes (IEC 60947-7-1, table of test currents, from memory).
_AMPS = {
    "0.14..1.5 mm2": "13 A",
    "0.2..2.5 mm2": "24 A",
    "0.2..4 mm2": "32 A",
    "0.2..6 mm2": "41 A",
    "0.5..10 mm2": "57 A",
    "0.5..16 mm2": "76 A",
    "26..14 AWG": "13 A",
    "24..12 AWG": "20 A",
    "22..10 AWG": "30 A",
    "20..8 AWG": "40 A",
    "18..6 AWG": "55 A",
}
