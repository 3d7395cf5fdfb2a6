"""A machine on a battery: its charger on the mains, a fuse on its pole, a switch, and all else behind them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from wiring.describe.axes import Motion
from wiring.describe.build import Build, Refused, library_of, own_model, part_words
from wiring.describe.description import BatteryFeed
from wiring.describe.direct import direct_loads, direct_of
from wiring.describe.draft import End
from wiring.describe.drive_wiring import drives_on
from wiring.describe.drives import stepper_drive
from wiring.describe.feeds import back, fuse
from wiring.describe.mains import TOLERANCE, MainsSide
from wiring.describe.rails import chopper
from wiring.describe.switchgear import contactor
from wiring.describe.trade import CONTROL_V
from wiring.parts.elements import Output
from wiring.parts.motors import StepperMotor
from wiring.parts.sources import Converter
from wiring.parts.storage import Battery
from wiring.plan.ratings import VoltageRange
from wiring.rulebooks.overcurrent import standard_ratings
from wiring.rulebooks.steps import DC_V, SWITCH_A, first_at_least

#: What the controls take at most, and the rating of the switch [A]; what it makes and breaks (typical, no source).
_CONTROL_A, _SWITCH_A = 2.0, 40.0
#: How far a battery goes below and above its nominal voltage (common practice).
_SWING = 0.2
#: What fuses for the poles of batteries are made for at least [V] (common practice).
_FUSE_V = 80.0
#: Copper at 90 °C against 20 °C (IEC 60287), what a bridge passes on, and what a drive takes itself [W] (typical).
_HOT, _BRIDGE, _OWN_W = 1.27, 0.9, 5.0


def battery_rail(build: Build, side: MainsSide, motions: Sequence[Motion], *, stopped: bool) -> None:
    """The battery with its charger, the controls on it, and the axes behind both contactors."""
    feed = build.description.battery
    assert feed is not None
    model = _model(build)
    volts = model.voltage.volts
    _bearable(build, motions, volts)
    draft = build.draft
    title = f"{volts:g} V of the battery"
    _battery(build, feed, model, motions)
    trunk = draft.chain("rail", "Q2:2", build.type("trunk"), title)
    build.trunk = trunk
    _charger(build, side, feed, trunk)
    if stopped:
        device = fuse(build, "motion", "fuses of the drives", "6 A", quick=True)
        trunk.append(f"{device}:1")
        draft.wire("rail", f"{device}:2", "K1:1", build.type("trunk"), f"{title} to the contactors")
        amps = max(_together_a(build, motions))
        for n, name in enumerate(("K1", "K2"), 1):
            why = "as K1" if n > 1 else "one welded contactor leaves the other; its mirror contact holds the reset back"
            draft.part("mains side", name, contactor(build, name, f"motion off {n}", 1, direct=amps), why)
        draft.wire("rail", "K1:2", "K2:1", build.type("trunk"), f"{title} between the contactors")
        build.motion = draft.chain("rail", "K2:2", build.type("trunk"), f"{title} behind the contactors")
        if draft.chosen.clamps:
            chopper(build, volts, build.motion, back(build))
        drives_on(build, motions, volts, build.motion, lambda: back(build))
    if not _suits_controls(model):  # behind the motion: a conductor that breaks never leaves the charger with it alone
        build.trunk = _converter(build, trunk, volts)


def _model(build: Build) -> Battery:
    assert build.description.battery is not None
    model = own_model(build.description.battery.part)
    assert isinstance(model, Battery)
    return model


def _battery(build: Build, feed: BatteryFeed, model: Battery, motions: Sequence[Motion]) -> None:
    """The battery, its fuse on its pole, and the switch that parts both its poles."""
    draft = build.draft
    taken = sum(amps for _, amps in _each_a(build, motions)) + _CONTROL_A
    charged = _charged_a(feed)
    amps = max(taken, charged)  # what the charger gives comes in through the same fuse
    rating = first_at_least(standard_ratings("iec", "fuse"), amps)
    most = inf if model.rated is None else model.rated  # without one the check asks for it
    if rating is None or rating > most:
        cap = f"the battery is rated {most:.3g} A" if rating is not None else "no fuse is sold so large"
        raise Refused(
            f"the machine takes or charges {amps:.3g} A or less and needs a battery fuse of that or more",
            cap,
            "Take a larger battery, or say what works together (`runs`).",
            ("battery", "part"),
        )
    volts = first_at_least(DC_V, (1.0 + _SWING) * model.voltage.volts) or DC_V[-1]
    pole = {
        "rating": f"{rating:g} A",
        "class": "gG",
        "breaking": "10 kA",
        "rated_voltage": f"{max(volts, _FUSE_V):g} V DC",
    }
    entry = part_words(feed.part, title="battery", fuse=pole, gas_outside="true", sizes=_sizes(build))
    why = (
        f"its fuse stands on its pole: all together take no more than {taken:.3g} A, and the charger gives "
        f"{charged:.3g} A; a hose leads its gas outside"
    )
    draft.part("supplies", "GB1", entry, why)
    switch_a = first_at_least(SWITCH_A, max(rating, _SWITCH_A)) or SWITCH_A[-1]
    switch = {
        "kind": "disconnector",
        "title": "battery switch",
        "poles": "2",
        "rated": f"{switch_a:g} A",
        "rated_voltage": f"{volts:g} V DC",
        "lockable": True,
        "making": f"{5 * switch_a:g} A",
        "breaking": f"{2.5 * switch_a:g} A",
        "sizes": _sizes(build),
        "wires_per_terminal": "2",
    }
    draft.part("supplies", "Q2", switch, "parts both poles of the battery: the mains switch does not")
    draft.wire("rail", "GB1:+", "Q2:1", build.type("trunk"), "battery")
    draft.wire("rail", "GB1:-", "Q2:3", build.type("trunk", back=True), "battery return")
    draft.wire("rail", "Q2:4", back(build), build.type("trunk", back=True), "battery return behind its switch")


def _charged_a(feed: BatteryFeed) -> float:
    """What the charger gives at most [A]."""
    charger = own_model(feed.charger)
    assert charger is not None
    return max(one.limit_a or one.rated_a or 0.0 for one in charger.elements() if isinstance(one, Output))


def _suits_controls(battery: Battery) -> bool:
    """Whether a battery feeds coils and lamps of 24 V itself: charged it gives no more than a tenth above that."""
    charged = next(one.volts for one in battery.elements() if isinstance(one, Output))
    return battery.voltage.volts >= (1.0 - TOLERANCE) * CONTROL_V and charged <= (1.0 + TOLERANCE) * CONTROL_V


def _converter(build: Build, trunk: list[End], volts: float) -> list[End]:
    """The 24 V of the controls from a battery of another voltage; the chain that they hang on."""
    known = library_of(Converter).items()
    fits = (key for key, one in known if one.output.volts == CONTROL_V and _spans(one.input, volts))
    key = next(fits, None)
    if key is None:
        raise Refused(
            f"the controls need {CONTROL_V:g} V from a battery of {volts:g} V",
            "the library has no converter for it",
            "Take a battery of 12, 24 or 48 V.",
            ("battery", "part"),
        )
    draft, device = build.draft, fuse(build, "control converter", "fuses of the controls", "6 A", quick=True)
    name = draft.name("G", 2)
    why = f"the battery gives more or less than the coils and lamps of {CONTROL_V:g} V bear"
    draft.part("supplies", name, {"use": key, "title": "control converter", "isolated": False}, why)
    trunk.append(f"{device}:1")
    draft.wire("rail", f"{device}:2", f"{name}:IN+", build.type("motor"), "control converter")
    for end in ("IN-", "V-"):
        draft.wire("rail", f"{name}:{end}", back(build), build.type("motor", back=True), "control converter return")
    return draft.chain("control", f"{name}:V+", build.type("control-trunk"), f"{CONTROL_V:g} V")


def _spans(window: VoltageRange, volts: float) -> bool:
    """Whether a converter takes a battery from empty to charged, a fifth below and above its nominal voltage."""
    return window.low <= (1.0 - _SWING) * volts and (1.0 + _SWING) * volts <= window.high


def _sizes(build: Build) -> str:
    return "1.5..16 mm2" if build.rulebook == "iec" else "16..6 AWG"


def _each_a(build: Build, motions: Sequence[Motion]) -> Iterator[tuple[str, float]]:
    """No more than these does each axis and load take [A]."""
    yield from ((name, one.amps) for name, one in direct_loads(build.description).items())
    for motion in motions:
        if isinstance(motion.motor, StepperMotor):
            yield motion.name, _chopper_a(motion, motion.motor, _model(build).voltage.volts)


def _chopper_a(motion: Motion, motor: StepperMotor, volts: float) -> float:
    """What a chopper takes from a battery that is nearly empty [A, V]: the heat of both windings, what the motor does,
    and its own; never more than the peak current of its motor."""
    peak = motor.phase_current.peak_a
    if motor.phase_resistance is None:
        return peak
    work = max(motion.speed * motion.torque, motion.rapid * motion.rapid_torque)
    watts = _HOT * peak**2 * motor.phase_resistance + work / _BRIDGE + _OWN_W
    return min(peak, watts / ((1.0 - _SWING) * volts))


def _together_a(build: Build, motions: Sequence[Motion]) -> Iterator[float]:
    """What the contactors feed at most [A], by what works at once: axes hold in every state, a load works alone too."""
    axes, loads = {motion.name for motion in motions}, direct_loads(build.description)
    for names in (*(build.description.runs.values() or [tuple(loads)]), *((name,) for name in loads), ()):
        yield sum(amps for name, amps in _each_a(build, motions) if name in axes or name in names)


def _charger(build: Build, side: MainsSide, feed: BatteryFeed, trunk: list[End]) -> None:
    """The charger on the mains, with a fuse against what the battery feeds back into its conductors."""
    draft = build.draft
    draft.part(
        "supplies", "G1", part_words(feed.charger, title="charger"), "feeds the battery whenever it is plugged in"
    )
    draft.named.add("G1")
    side.branch("charger", side.single(), ("G1:L", "G1:N"), stopped=False)
    draft.earth("G1:PE", build.type("earth-branch"), "charger")
    device = fuse(build, "charger to battery", "fuses of the drives", "6 A", quick=True)
    draft.wire("rail", "G1:V+", f"{device}:2", build.type("motor"), "charger")
    trunk.append(f"{device}:1")
    draft.wire("rail", "G1:V-", back(build), build.type("motor", back=True), "charger return")


def _bearable(build: Build, motions: Sequence[Motion], volts: float) -> None:
    """Raises Refused for what a battery does not feed."""
    for motion in motions:
        if not motion.is_stepper or (motion.axis.drive is None and stepper_drive(motion, volts) is None):
            raise Refused(
                f"axis {motion.name} needs a drive for a rail of {volts:g} V",
                "the library has none for its motor",
                "Take a smaller stepper motor, or give its drive with its data.",
                ("axes", motion.name),
            )
    for name, load in build.description.loads.items():
        direct = direct_of(load)
        fits = direct is not None and abs(direct.volts - volts) <= TOLERANCE * volts
        if load.sort not in ("valve", "lamp") and not fits:
            raise Refused(
                f"{name} is a load of the mains" if direct is None else f"{name} is made for {direct.volts:g} V",
                f"the battery gives {volts:g} V DC and the mains feeds its charger alone",
                f"Take one for {volts:g} V DC.",
                ("loads", name),
            )
