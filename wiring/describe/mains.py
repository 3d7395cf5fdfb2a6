"""The mains: inlet, main switch, the pair of contactors that a stop drops, and a protective device for each branch."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from msgspec import Struct

from wiring.describe.build import Build
from wiring.describe.draft import End
from wiring.plan.site import Mains
from wiring.requirement import Quantity
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rulebooks.steps import BREAKING_A, CONTACTOR_A, RESIDUAL_A, SWITCH_A, first_at_least

_LINES = {"single-phase": ("L",), "split-phase": ("L1", "L2"), "three-phase": ("L1", "L2", "L3")}
#: Of the rated current of a contactor or switch, what it makes and breaks (IEC 60947-3 AC-23A and 60947-4-1 AC-3).
_MAKES, _BREAKS = 10.0, 8.0
_USUAL_FAULT_A = 6e3
#: Of its rated current, what one pole of a contactor breaks at 24 V DC (typical; common practice, no source).
_DIRECT_SHARE = 0.8
_LEAST_SWITCH_A, _LEAST_CONTACTOR_A, _LEAST_RESIDUAL_A = 20.0, 9.0, 25.0
_TWO = 2
#: What switches and drives stand without a marking, and what they are to be marked with [A] (UL 508A, table SB4.1).
_UNMARKED_A, _MARKED_A = 5e3, 10e3
#: Classes of fuses that limit the current (NFPA 70, 240.2).
_LIMITING = ("J", "CC", "T", "RK1")
#: Above this voltage three lines of North America come without a neutral for loads [V].
_STAR_V = 230.0
#: A load may be made for a voltage that differs by this share from that of the mains (IEC 60038).
TOLERANCE = 0.10
#: What the device in front of the contactors is called.
GROUP = "contactors"
#: Above this device of the building the incoming conductors are too thick for a small contactor, of this rating.
_THICK_FROM_A, _WIDE_CONTACTOR_A = 20.0, 25.0


def to_neutral(mains: Mains) -> float:
    """What lies between a line and the neutral of mains of several lines [V]; 0 where they lead no neutral for loads.

    Of the three lines of North America those of 208 V come from a star of 120 V; 480 V lead no neutral to a machine.
    """
    volts: float = mains.voltage.volts
    if mains.earthing == "IT" or mains.system == "single-phase":
        return 0.0
    return volts / 2.0 if mains.system == "split-phase" else volts / sqrt(3.0) if volts < _STAR_V else 0.0


def on_one_line(wanted: float, mains: Mains) -> bool:
    """Whether a load is made for one line and the neutral of mains of several lines [V]."""
    half = to_neutral(mains)
    return half > 0.0 and abs(wanted - half) <= TOLERANCE * half


def marking(build: Build) -> dict[str, object]:
    """The short-circuit rating that switches and drives are to be marked with, where they stand less unmarked.

    Behind fuses that limit the current such ones are sold; without them what is sold stands little (common practice).
    """
    mains = build.description.mains
    limits = mains.upstream is not None and mains.upstream.fuse_class in _LIMITING
    if build.rulebook == "iec" or not limits or not _UNMARKED_A < (mains.fault_current or 0.0) <= _MARKED_A:
        return {}
    return {"short_circuit_rating": f"{_MARKED_A / 1e3:g} kA"}


class Feed(Struct, frozen=True):
    """Which poles feed a load, and its voltage [V]."""

    lines: tuple[str, ...]
    neutral: bool
    volts: float

    @property
    def poles(self) -> tuple[str, ...]:
        return (*self.lines, *(("N",) if self.neutral else ()))


class MainsSide(Struct):
    """The mains in the making: for each pole the chains that branches hang on, before and behind the contactors."""

    build: Build
    lines: tuple[str, ...]
    neutral: bool
    switched: bool
    direct: dict[str, list[End]]
    behind: dict[str, list[End]]
    turn: int = 0

    def single(self, wanted: float = 0.0) -> Feed:
        """The feed of the next single-phase load, for that voltage where it is given; the phases take turns."""
        mains = self.build.description.mains
        volts = mains.voltage.volts
        if self.neutral and on_one_line(wanted, mains):
            self.turn += 1
            return Feed((self.lines[self.turn % len(self.lines)],), True, to_neutral(mains))
        between = abs(wanted - volts) <= TOLERANCE * volts
        if len(self.lines) == 3 and self.build.rulebook == "iec" and not between:
            self.turn += 1
            return Feed((self.lines[(self.turn - 1) % 3],), True, volts / sqrt(3.0))
        if len(self.lines) == 3:
            self.turn += 1
            first = (self.turn - 1) % 3
            return Feed(tuple(sorted((self.lines[first], self.lines[(first + 1) % 3]))), False, volts)
        return Feed(self.lines, self.neutral and len(self.lines) == 1, volts)

    def volts(self) -> float:
        """The voltage of a single-phase load [V]."""
        volts = self.build.description.mains.voltage.volts
        return volts / sqrt(3.0) if len(self.lines) == 3 and self.build.rulebook == "iec" else volts

    def three(self) -> Feed | None:
        """The feed of a three-phase load, None where the mains has one phase."""
        return Feed(self.lines, False, self.build.description.mains.voltage.volts) if len(self.lines) == 3 else None

    def branch(
        self, title: str, feed: Feed, ends: Sequence[End], *, stopped: bool, device: str = "", kind: str = "line"
    ) -> str:
        """A branch to the ends of a load, with a device of its own; its name. `device` is one that is there already."""
        name = device or self._device(title, feed)
        for n, (pole, end) in enumerate(zip(feed.poles, ends, strict=True)):
            wire_type = self.build.type("neutral" if pole == "N" else kind)
            if pole == "N" and self.build.rulebook == "na":
                row = self.build.draft.row("XN", "neutral")
                group = "behind" if stopped and pole in self.behind else "direct"
                self.build.draft.wire("branches", row.take(group), end, wire_type, f"{title} neutral")
                continue
            self._tap(pole, stopped).append(f"{name}:{2 * n + 1}")
            self.build.draft.wire("branches", f"{name}:{2 * n + 2}", end, wire_type, f"{title} {pole}")
        return name

    def group_device(self, poles: Sequence[str]) -> str:
        """A device in front of the contactors, where loads behind them hang between lines; "" elsewhere."""
        three = any(load.sort == "motor" for load in self.build.description.loads.values())
        between = len(self.lines) > 1 and (three or self.build.rulebook == "na")
        chosen = self.build.draft.chosen
        if chosen.alone or (not between and not chosen.grouped):
            return ""
        if "N" in poles and self.build.rulebook == "iec":
            return self._device(GROUP, Feed(tuple(pole for pole in poles if pole != "N"), True, 0.0))
        return self._device(GROUP, Feed(tuple(pole for pole in poles if pole != "N"), False, 0.0))

    def _tap(self, pole: str, stopped: bool) -> list[End]:
        return self.behind[pole] if stopped and pole in self.behind else self.direct[pole]

    def _device(self, title: str, feed: Feed) -> str:
        draft = self.build.draft
        name = draft.name("F")
        mains = self.build.description.mains
        breaking = first_at_least(BREAKING_A, mains.fault_current or _USUAL_FAULT_A) or BREAKING_A[-1]
        data: dict[str, object] = {"kind": "breaker", "title": title}
        if self.build.rulebook == "iec":
            data["poles"] = str(len(feed.poles))
            data["rating"] = draft.chosen.size(name, Quantity.RATING, "6 A")
            data |= {"curve": "C", "breaking": f"{max(breaking, 6e3) / 1e3:g} kA"}
            data["rated_voltage"] = "400 V AC" if len(feed.poles) > 1 else "230 V AC"
            data |= {"sizes": "0.75..16 mm2", "wires_per_terminal": "2"}
        else:
            data |= {"kind": "fuse", "poles": str(len(feed.lines))}
            data["rating"] = draft.chosen.size(name, Quantity.RATING, "5 A")
            data |= {"class": "CC", "rated_voltage": "600 V AC", "breaking": "200 kA"}
            data |= {"sizes": "18..8 AWG", "wires_per_terminal": "2"}
        return draft.part("protection of the branches", name, data, draft.chosen.reason(name))


def begin_mains(build: Build, *, switched: bool, neutral: bool) -> MainsSide:
    """Inlet, main switch and, where a load is stopped by them, two contactors in series."""
    mains, draft = build.description.mains, build.draft
    lines = _LINES[mains.system]
    poles = (*lines, *(("N",) if neutral else ()))
    rating = mains.upstream.rating if mains.upstream else _LEAST_SWITCH_A
    _inlet_and_switch(build, poles, rating)
    side = MainsSide(build, lines, neutral, switched, {}, {})
    residual = _residual_device(build, poles, rating)
    for n, pole in enumerate(poles):
        wire_type = build.type("infeed-n" if pole == "N" else "infeed")
        draft.wire("mains", f"X0:{pole}", f"Q1:{2 * n + 1}", wire_type, f"incoming {pole}")
        if residual:
            title = f"{pole} to the residual current device"
            draft.wire("mains", f"Q1:{2 * n + 2}", f"{residual}:{2 * n + 1}", wire_type, title)
        start = f"{residual or 'Q1'}:{2 * n + 2}"
        side.direct[pole] = _begin_chain(build, pole, start, "direct", wire_type, f"{pole} behind the main switch")
    if switched:
        _contactors(build, side)
    return side


def _residual_device(build: Build, poles: Sequence[str], rating: float) -> str:
    """A residual current device behind the main switch where the earth of the building is none of its own; else ""."""
    described = build.description
    if described.mains.earthing != "TT" or build.rulebook != "iec":
        return ""
    smooth = any(load.sort == "inverter" for load in described.loads.values()) and len(poles) > _TWO
    amps = first_at_least(RESIDUAL_A, max(rating, _LEAST_RESIDUAL_A)) or RESIDUAL_A[-1]
    data = {
        "kind": "rcd",
        "title": "residual current device",
        "poles": "4" if len(poles) > _TWO else "2",
        "rated": f"{amps:g} A",
        "residual": "300 mA",
        "type": "B" if smooth else "A",
        "breaking": "10 kA",
        "rated_voltage": "400 V AC" if len(poles) > _TWO else "230 V AC",
        "sizes": "0.75..16 mm2",
    }
    why = "TT: an earth fault draws too little for a breaker; 300 mA open up to 166 ohm of earth electrode at 50 V"
    why += "; type B, for a three-phase inverter feeds smooth current to earth" if smooth else ""
    return build.draft.part("mains side", build.draft.name("F"), data, why)


def _begin_chain(build: Build, pole: str, start: End, group: str, wire_type: str, title: str) -> list[End]:
    """A chain from there; a neutral of the North American rulebook goes to a row of its own, as it has no device."""
    if pole == "N" and build.rulebook == "na":
        row = build.draft.row("XN", "neutral")
        build.draft.wire("mains", start, row.take(group), wire_type, title)
        return []
    return build.draft.chain("mains", start, wire_type, title, route=build.route("distribution"))


def _inlet_and_switch(build: Build, poles: Sequence[str], rating: float) -> None:
    iec = build.rulebook == "iec"
    sizes = "1.5..16 mm2" if iec else "16..6 AWG"
    inlet = f"{max(rating, 16.0):g} A"
    build.draft.part(
        "mains side",
        "X0",
        {"kind": "inlet", "title": "supply terminals", "poles": [*poles, "PE"], "rated": inlet, "sizes": sizes},
        f"{inlet}: no less than the device of the building",
    )
    amps = first_at_least(SWITCH_A, max(rating, _LEAST_SWITCH_A)) or SWITCH_A[-1]
    usual = f"{amps:g} A"
    text = build.draft.chosen.size("Q1", Quantity.RATING, usual)
    data = {
        "kind": "disconnector",
        "title": "main switch",
        "poles": str(len(poles)),
        "rated": text,
        "rated_voltage": f"{build.description.mains.voltage.volts:g} V AC",
        "lockable": True,
        "making": f"{_MAKES * amps:g} A",
        "breaking": f"{_BREAKS * amps:g} A",
        "sizes": sizes,
        "wires_per_terminal": "2",
        **marking(build),
    }
    why = f"opens {', '.join(poles)}; {text} is no less than the device of the building"
    why += "; marked for the fault current behind its fuses, as contactors and drives are" if marking(build) else ""
    build.draft.part("mains side", "Q1", data, why)


def _contactors(build: Build, side: MainsSide) -> None:
    """K1 and K2 in series in front of all that is stopped by them; the neutral of three phases passes them by."""
    poles = [pole for pole in side.direct if pole != "N" or len(side.lines) == 1]
    for n, name in enumerate(("K1", "K2"), 1):
        why = "as K1"
        if n == 1:
            why = "one welded contactor leaves the other; its mirror contact keeps the reset from going through; "
            why += build.draft.chosen.reason("K1")
        build.draft.part("mains side", name, contactor(build, name, f"power off {n}", len(poles)), why)
    group = side.group_device(poles)
    for n, pole in enumerate(poles):
        first, second = f"{2 * n + 1}", f"{2 * n + 2}"
        wire_type = build.type("infeed-n" if pole == "N" else "infeed")
        title = f"{pole} behind the contactors"
        if pole == "N" and build.rulebook == "na":
            row = build.draft.row("XN", "neutral")
            build.draft.wire("mains", row.take("direct"), f"K1:{first}", wire_type, "neutral to the contactors")
        elif pole == "N" and len(side.lines) > 1:
            side.direct[pole].append(f"K1:{first}")
        else:
            side.direct[pole].append(f"{group}:{first}" if group else f"K1:{first}")
            if group:
                title_of = f"{pole} to the contactors"
                build.draft.wire(
                    "mains", f"{group}:{second}", f"K1:{first}", wire_type, title_of, route=build.route("distribution")
                )
        build.draft.wire(
            "mains",
            f"K1:{second}",
            f"K2:{first}",
            wire_type,
            f"{pole} between the contactors",
            route=build.route("distribution"),
        )
        side.behind[pole] = _begin_chain(build, pole, f"K2:{second}", "behind", wire_type, title)


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
        sizes = {ends: "18..8 AWG", "": "20..14 AWG"}
    return {
        "kind": "contactor",
        "title": title,
        "poles": str(max(poles, 3)),
        "rated": text,
        "rated_voltage": "400 V AC" if build.rulebook == "iec" else "600 V AC",
        **({"dc_rated": f"{_DIRECT_SHARE * amps:g} A"} if direct is not None else {}),
        "making": f"{_MAKES * amps:g} A",
        "category": "AC-3",
        "coil": "24 V DC 3 W" if amps < 20 else "24 V DC 5.4 W",
        "suppressor": "varistor",
        "contacts": {"21-22": "NC mirror"},
        **marking(build),
        "sizes": sizes,
        "wires_per_terminal": "2",
    }
