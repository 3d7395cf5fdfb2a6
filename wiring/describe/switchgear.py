"""What stands in the lines: protective devices, and contactors, each with what its terminals and its marking hold."""

from __future__ import annotations

from wiring.describe.build import Build
from wiring.describe.trade import MOST_CC_A, WIDE, is_thick
from wiring.requirement import Quantity
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rulebooks.steps import BREAKING_A, CONTACTOR_A, first_at_least

#: Of the rated current of a contactor or switch, what it makes and breaks (IEC 60947-3 AC-23A and 60947-4-1 AC-3).
MAKES, BREAKS = 10.0, 8.0
#: Of its rated current, what one pole of a contactor breaks at 24 V DC (typical; common practice, no source).
_DIRECT_SHARE = 0.8
_LEAST_CONTACTOR_A = 9.0
_USUAL_FAULT_A = 6e3
#: What switches and drives stand without a marking, and what they are to be marked with [A] (UL 508A, table SB4.1).
_UNMARKED_A, _MARKED_A = 5e3, 10e3
#: Classes of fuses that limit the current (NFPA 70, 240.2).
_LIMITING = ("J", "CC", "T", "RK1")
#: What the devices in front of the contactors and behind the main switch are called.
GROUP, MAIN = "contactors", "main protection"
#: Up to this fault current a breaker of a known curve opens sooner than a fuse of that size [A] (own choice).
_LITTLE_A = 3e3
#: Above this device of the building the incoming conductors are too thick for a small contactor, of this rating.
_THICK_FROM_A, _WIDE_CONTACTOR_A = 20.0, 25.0


def marking(build: Build) -> dict[str, object]:
    """The short-circuit rating that switches and drives are to be marked with, where they stand less unmarked.

    Main switches are sold for it as they are, contactors and drives behind fuses that limit the current, as those in
    front of each branch do (common practice).
    """
    beyond = _UNMARKED_A < (build.description.mains.fault_current or 0.0) <= _MARKED_A
    return {"short_circuit_rating": f"{_MARKED_A / 1e3:g} kA"} if beyond and build.rulebook == "na" else {}


def _behind_fuses(build: Build, name: str) -> bool:
    """Whether fuses that limit the current stand in front of a contactor."""
    upstream, chosen = build.description.mains.upstream, build.draft.chosen
    ahead = upstream is not None and upstream.fuse_class in _LIMITING
    return ahead or name not in ("K1", "K2") or not chosen.alone


def device(build: Build, title: str, poles: int, amps: float = 0.0) -> str:
    """A protective device of so many poles, for a load of so many amperes where it is large; its name."""
    draft, mains = build.draft, build.description.mains
    name = draft.name("F")
    breaking = first_at_least(BREAKING_A, mains.fault_current or _USUAL_FAULT_A) or BREAKING_A[-1]
    data: dict[str, object] = {"kind": "breaker", "title": title, "poles": str(poles), "rating": "6 A", "curve": "C"}
    thick = is_thick(build.rulebook, mains)
    wide = (thick and title in (GROUP, MAIN)) or amps * (1.0 + KEPT_FREE) > MOST_CC_A
    if build.rulebook == "iec":
        data |= {"breaking": f"{max(breaking, 6e3) / 1e3:g} kA"}
        data |= {"rated_voltage": "400 V AC" if poles > 1 else "230 V AC", "sizes": "0.75..16 mm2"}
    elif wide and (mains.fault_current or 0.0) <= _LITTLE_A:
        data |= {"rating": "35 A", "breaking": f"{breaking / 1e3:g} kA", "rated_voltage": "480 V AC", "sizes": WIDE}
    else:
        data |= {"kind": "fuse", "rating": "35 A" if wide else "5 A", "class": "J" if wide else "CC"}
        data |= {"rated_voltage": "600 V AC", "breaking": "200 kA"}
        data |= {"sizes": WIDE if wide else "18..6 AWG" if thick else "18..8 AWG"}
        del data["curve"]
    data |= {"rating": draft.chosen.size(name, Quantity.RATING, str(data["rating"])), "wires_per_terminal": "2"}
    return draft.part("protection of the branches", name, data, draft.chosen.reason(name))


def contactor(build: Build, name: str, title: str, poles: int, *, direct: float | None = None) -> dict[str, object]:
    """A contactor with a coil for 24 V and a mirror contact; its poles switch `direct` current [A]."""
    upstream = build.description.mains.upstream
    thick = name in ("K1", "K2") and upstream is not None and upstream.rating > _THICK_FROM_A
    least = _WIDE_CONTACTOR_A if thick else _LEAST_CONTACTOR_A
    asked = (direct or 0.0) / (_DIRECT_SHARE * (1.0 - KEPT_FREE))
    least = max(least, first_at_least(CONTACTOR_A, asked) or CONTACTOR_A[-1])
    text = build.draft.chosen.size(name, Quantity.RATING, f"{least:g} A")
    amps = max(float(text.split()[0]), least)
    text = f"{amps:g} A"
    ends = " ".join(str(n) for n in range(1, 2 * max(poles, 3) + 1))
    sizes = {ends: "0.75..6 mm2", "": "0.5..2.5 mm2"} if amps < 20 else {ends: "1.5..16 mm2", "": "0.5..2.5 mm2"}
    if build.rulebook == "na":
        sizes = {
            ends: WIDE if thick and is_thick(build.rulebook, build.description.mains) else "18..8 AWG",
            "": "20..14 AWG",
        }
    return {
        "kind": "contactor",
        "title": title,
        "poles": str(max(poles, 3)),
        "rated": text,
        "rated_voltage": "400 V AC" if build.rulebook == "iec" else "600 V AC",
        **({"dc_rated": f"{_DIRECT_SHARE * amps:g} A"} if direct is not None else {}),
        "making": f"{MAKES * amps:g} A",
        "category": "AC-3",
        "coil": "24 V DC 3 W" if amps < 20 else "24 V DC 5.4 W",
        "suppressor": "varistor",
        "contacts": {"21-22": "NC mirror"},
        **(marking(build) if _behind_fuses(build, name) else {}),
        "sizes": sizes,
        "wires_per_terminal": "2",
    }
