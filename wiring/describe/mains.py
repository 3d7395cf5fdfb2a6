"""The mains: inlet, main switch, the pair of contactors that a stop drops, and a protective device for each branch."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from msgspec import Struct

from wiring.describe.build import Build
from wiring.describe.draft import End
from wiring.describe.switchgear import BREAKS, GROUP, MAIN, MAKES, contactor, device, marking
from wiring.describe.trade import WIDE, is_thick
from wiring.plan.site import Mains
from wiring.requirement import Quantity
from wiring.rulebooks.steps import RESIDUAL_A, SWITCH_A, first_at_least

_LINES = {"single-phase": ("L",), "split-phase": ("L1", "L2"), "three-phase": ("L1", "L2", "L3")}
_LEAST_SWITCH_A, _LEAST_RESIDUAL_A = 20.0, 25.0
_TWO = 2
#: Above this voltage three lines of North America come without a neutral for loads [V].
_STAR_V = 230.0
#: A load may be made for a voltage that differs by this share from that of the mains (IEC 60038).
TOLERANCE = 0.10


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
        self,
        title: str,
        feed: Feed,
        ends: Sequence[End],
        *,
        stopped: bool,
        own: str = "",
        kind: str = "line",
        amps: float = 0.0,
    ) -> str:
        """A branch to a load [A], with a device of its own, or fuses in front of a small one that is there."""
        build = self.build
        poles = len(feed.poles if build.rulebook == "iec" else feed.lines)
        name = own or device(build, title, poles, amps)
        small = bool(own) and is_thick(build.rulebook, build.description.mains)
        fuses = device(build, f"{title} fuses", poles) if small else ""
        for n, (pole, end) in enumerate(zip(feed.poles, ends, strict=True)):
            wire_type, draft = self.build.type("neutral" if pole == "N" else kind), self.build.draft
            if pole == "N" and self.build.rulebook == "na":
                row = draft.row("XN", "neutral")
                group = "behind" if stopped and pole in self.behind else "direct"
                draft.wire("branches", row.take(group), end, wire_type, f"{title} neutral")
                continue
            self._tap(pole, stopped).append(f"{fuses or name}:{2 * n + 1}")
            if fuses:
                draft.wire("branches", f"{fuses}:{2 * n + 2}", f"{name}:{2 * n + 1}", wire_type, f"{title} {pole}")
            draft.wire("branches", f"{name}:{2 * n + 2}", end, wire_type, f"{title} {pole}")
        return name

    def group_device(self, poles: Sequence[str]) -> str:
        """A device in front of the contactors, where loads behind them hang between lines; "" elsewhere."""
        three = any(load.sort == "motor" for load in self.build.description.loads.values())
        between = len(self.lines) > 1 and (three or self.build.rulebook == "na")
        chosen = self.build.draft.chosen
        if chosen.alone or (not between and not chosen.grouped):
            return ""
        return device(self.build, GROUP, len([one for one in poles if one != "N" or self.build.rulebook == "iec"]))

    def _tap(self, pole: str, stopped: bool) -> list[End]:
        return self.behind[pole] if stopped and pole in self.behind else self.direct[pole]


def begin_mains(build: Build, *, switched: bool, neutral: bool) -> MainsSide:
    """Inlet, main switch and, where a load is stopped by them, two contactors in series."""
    mains, draft = build.description.mains, build.draft
    lines = _LINES[mains.system]
    poles = (*lines, *(("N",) if neutral else ()))
    rating = mains.upstream.rating if mains.upstream else _LEAST_SWITCH_A
    _inlet_and_switch(build, poles, rating)
    side = MainsSide(build, lines, neutral, switched, {}, {})
    first, what = _residual_device(build, poles, rating), "the residual current device"
    if is_thick(build.rulebook, mains):  # what it lets through is too much for the terminals of small devices
        first, what = device(build, MAIN, len(lines)), MAIN
    for n, pole in enumerate(poles):
        wire_type = build.type("infeed-n" if pole == "N" else "infeed")
        draft.wire("mains", f"X0:{pole}", f"Q1:{2 * n + 1}", wire_type, f"incoming {pole}")
        passed = bool(first) and (pole in lines or build.rulebook == "iec")
        if passed:
            title = f"{pole} to {what}"
            draft.wire("mains", f"Q1:{2 * n + 2}", f"{first}:{2 * n + 1}", wire_type, title)
        start = f"{first if passed else 'Q1'}:{2 * n + 2}"
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
    sizes = "1.5..16 mm2" if iec else WIDE if is_thick(build.rulebook, build.description.mains) else "16..6 AWG"
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
        "making": f"{MAKES * amps:g} A",
        "breaking": f"{BREAKS * amps:g} A",
        "sizes": sizes,
        "wires_per_terminal": "2",
        **marking(build),
    }
    why = f"opens {', '.join(poles)}; {text} is no less than the device of the building"
    why += (
        "; marked for the fault current; so are contactors and drives, behind class CC fuses" if marking(build) else ""
    )
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
