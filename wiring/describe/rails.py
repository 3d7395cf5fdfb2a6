"""Rails of direct voltage: the supply of the axes with a fuse for each drive, and the 24 V of all controls."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from wiring.describe.axes import Motion, bus_power
from wiring.describe.build import Build, Refused, library_of, part_words
from wiring.describe.draft import End, Row
from wiring.describe.drive_wiring import drives_on
from wiring.describe.drives import rails_of
from wiring.describe.mains import MainsSide
from wiring.describe.trade import CONTROL_V
from wiring.parts.drives import BusChopper
from wiring.parts.sources import Supply
from wiring.plan.site import BuildingRcd
from wiring.requirement import Quantity

#: Behind a residual current device of this or less, as of 5 mA against shock (UL 943), supplies leak as little as those
#: for medical equipment do (common practice, no source).
_SENSITIVE_A, _LOW_LEAKAGE = 10e-3, "0.3 mA"
_LOW_WHY = "; one of low leakage, as for medical equipment: the residual current device of the building bears little"


def _supply_key(build: Build, name: str, volts: float, mains_v: float) -> str:
    """The step that sizing chose, or the first supply of that voltage for this mains [V]."""
    known = sorted(
        (one.rated, key)
        for key, one in library_of(Supply).items()
        if one.output.volts == volts and one.input.low <= mains_v * 1.001 and mains_v <= one.input.high * 1.001
    )
    if not known:
        raise Refused(
            f"a rail of {volts:g} V is needed",
            f"the library has no supply for it from {mains_v:.3g} V",
            "Take a motor for another rail, or feed the machine from a transformer.",
            ("axes",),
        )
    return build.draft.chosen.size(name, Quantity.RATING, known[0][1])


def _supply(build: Build, side: MainsSide, title: str, volts: float, *, stopped: bool, why: str) -> str:
    draft = build.draft
    name = draft.name("G")
    reason = "; ".join(filter(None, (why, draft.chosen.reason(name))))
    own, low = _bought(build, volts, stopped), _low_leakage(build)
    words = own or part_words(_supply_key(build, name, volts, side.volts()), leakage=low)
    draft.part("supplies", name, part_words(words, title=title), reason + (_LOW_WHY if low and not own else ""))
    side.branch(title, side.single(), (f"{name}:L", f"{name}:N"), stopped=stopped)
    draft.earth(f"{name}:PE", build.type("earth-branch"), title)
    return name


def _low_leakage(build: Build) -> str | None:
    """What a supply may leak where the residual current device of the building bears no two usual ones."""
    rcd = build.description.mains.rcd
    few = isinstance(rcd, BuildingRcd) and rcd.residual is not None and rcd.residual <= _SENSITIVE_A
    return _LOW_LEAKAGE if few else None


def _bought(build: Build, volts: float, stopped: bool) -> Mapping[str, Any] | None:
    """The next supply of that voltage that is bought; the first of 24 V is kept for the controls."""
    fits = [name for name, (_, gives) in build.supplies.items() if gives == volts]
    if stopped and volts == CONTROL_V:
        fits = fits[1:]
    return build.supplies.pop(fits[0])[0] if fits else None


def motor_rails(build: Build, side: MainsSide, motions: Sequence[Motion]) -> None:
    """The supplies of all drives on a rail, each behind the contactors, and a branch for each drive."""
    for volts, (why, there) in rails_of(
        motions, [volts for _, volts in build.supplies.values() if volts != CONTROL_V]
    ).items():
        groups = _shared(there, build.draft.chosen.rails.get(volts, 1))
        if any(gives == volts for _, gives in build.supplies.values()):
            groups.reverse()  # what is bought takes the least, for another one may be as large as it must
        for n, group in enumerate(groups):
            number = f" {n + 1}" if len(groups) > 1 else ""
            _rail(build, side, group, volts, number, why if not n else "shares the axes with the supply above")


def _shared(motions: Sequence[Motion], count: int) -> list[list[Motion]]:
    """The motions in groups of like power, each in the order of the description."""
    groups: list[list[Motion]] = [[] for _ in range(max(1, min(count, len(motions))))]
    for motion in sorted(motions, key=lambda one: (-bus_power(one), one.name)):
        min(groups, key=lambda group: sum(map(bus_power, group))).append(motion)
    return [[motion for motion in motions if motion in group] for group in groups]


def _rail(build: Build, side: MainsSide, motions: Sequence[Motion], volts: float, number: str, why: str) -> None:
    why = f"behind the contactors, so that a stop takes it away. {why}"
    trunk, row = begin_rail(build, side, volts, f"{volts:g} V motor supply{number}", f"{volts:g} V return{number}", why)
    if volts in build.draft.chosen.clamps:
        chopper(build, volts, trunk, row.take())
    drives_on(build, motions, volts, trunk, row.take)
    earth_rail(build, volts, row)


def begin_rail(
    build: Build, side: MainsSide, volts: float, title: str, row_title: str, why: str
) -> tuple[list[End], Row]:
    """A supply behind the contactors: the chain of its plus, and the row of its way back."""
    draft = build.draft
    supply = _supply(build, side, title, volts, stopped=True, why=why)
    taken = sum(name.startswith("X3") for name in draft.rows)
    row = draft.row(f"X3{taken or ''}", row_title)
    trunk = draft.chain("rail", f"{supply}:V+", build.type("trunk"), f"{volts:g} V")
    draft.wire("rail", f"{supply}:V-", row.take(), build.type("trunk", back=True), f"{volts:g} V return")
    return trunk, row


def earth_rail(build: Build, volts: float, row: Row) -> None:
    """The one earth of a rail, at its way back."""
    why = "the one point at which this rail is earthed"
    build.draft.earth(row.take(), build.type("earth"), f"{volts:g} V return", why)


def chopper(build: Build, volts: float, trunk: list[End], back: End) -> None:
    """A chopper on the rail, which burns what braking axes feed back; the first that sets in well above the rail."""
    key = min(
        (one.clamp or 0.0, key) for key, one in library_of(BusChopper).items() if (one.clamp or 0.0) > 1.1 * volts
    )[1]
    draft = build.draft
    name = draft.name("R")
    why = "burns what the axes feed back when they brake or lower their load: more than the capacitors and drives take"
    draft.part("axes", name, {"use": key, "title": f"chopper of {volts:g} V"}, why)
    trunk.append(f"{name}:V+")
    draft.wire("rail", back, f"{name}:V-", build.type("trunk", back=True), "chopper return")
    draft.earth(f"{name}:PE", build.type("earth-branch"), "chopper")


def control_rail(build: Build, side: MainsSide) -> None:
    """The 24 V of all controls: it stays on in a stop, so that what the machine says can still be read."""
    draft = build.draft
    supply = _supply(build, side, "control supply", CONTROL_V, stopped=False, why="stays on in a stop")
    trunk = draft.chain("control", f"{supply}:V+", build.type("control-trunk"), "24 V")
    returns = draft.row("X2", "24 V return")
    draft.wire("control", f"{supply}:V-", returns.take(), build.type("control-trunk", back=True), "24 V return")
    build.trunk = trunk
    for name, (_, volts) in build.supplies.items():
        raise Refused(
            f"the supply {name}, which is bought, gives {volts:g} V",
            "no rail that is left to feed has that voltage",
            "Leave it out, or take motors and drives for it.",
            ("bought", name),
        )
