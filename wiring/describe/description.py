"""The description of a machine: what it moves, heats and stops. All else is worked out from it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

from wiring.plan.fault import Refusal
from wiring.plan.model import Before, field
from wiring.plan.ratings import CoilRating
from wiring.plan.site import Enclosure, Mains, PlanModel, Site
from wiring.plan.types import (
    Celsius,
    FractionOrZero,
    Kilograms,
    KilogramSquareMetres,
    Metres,
    MetresPerSecond,
    NewtonMetresOrZero,
    NewtonMetresSigned,
    Newtons,
    RadiansPerSecond,
    SecondsOrZero,
    Watts,
)
from wiring.plan.words import Count, Flag, Name, Text

#: A part by its key in the library, or a mapping with its kind and the data of its label.
PartWords = Annotated[
    str | dict[str, Any], field(description="a key of the library, a name of `bought`, or a part with its data")
]


def _ratio(value: Any) -> Any:
    if value is None:
        return None
    try:
        found = float(value)
    except (TypeError, ValueError):
        raise Refusal(f"{value!r} is no ratio", "a number without a unit, for example 5") from None
    if not 0.01 <= found <= 1000.0:
        raise Refusal(f"{value!r} is out of bounds", "a number from 0.01 to 1000")
    return found


#: The air for which equipment of machines is made where nothing else is agreed (IEC 60204-1 and NFPA 79, 4.4.3).
USUAL_AMBIENT = "40 °C"


def usual_cabinet(rulebook: str, exposed_to: Sequence[str] | None = ()) -> dict[str, str]:
    """What a cabinet is taken to be where the description does not say it and none is bought: the plan says it then."""
    shells = ("IP65", "type 4") if "hose" in (exposed_to or ()) else ("IP54", "type 12")
    shell = shells[rulebook == "na"]
    return {"material": "painted-steel", "mounting": "wall", "protection": shell, "opens": "tool"}


class Cabinet(Enclosure):
    """The cabinet that is wanted, or that is there already; its fan is worked out."""

    distance: Metres = field(
        4.0, description="way of a cable from the cabinet to the machine, where an axis gives none"
    )
    bought: Flag = field(False, description="it is there already: no larger one is taken where the parts do not go in")


class Axis(PlanModel):
    """One axis: its motor, what it moves through which train, and how fast."""

    like: Name | None = field(None, description="another axis from which it takes all that it does not say")
    title: Text = ""
    motor: PartWords | None = None
    drive: PartWords | None = None
    count: Count | None = field(None, description="equal motors that move it together, each with a drive of its own")
    closed_loop: Flag | None = field(None, description="whether the drive reads an encoder on the motor")
    mass: Kilograms | None = None
    inertia: KilogramSquareMetres | None = field(None, description="inertia of the load, behind its gear")
    screw: Metres | None = field(None, description="travel for a turn of the screw: its lead")
    pulley: Metres | None = field(None, description="travel for a turn of the pulley: teeth times pitch")
    ratio: Annotated[float | None, Before(_ratio)] = field(
        None, description="turns of the motor for one of the load, screw or pulley"
    )
    efficiency: FractionOrZero | None = field(None, description="share of the motor's work that reaches the load")
    speed: MetresPerSecond | None = field(None, description="speed of the load at work")
    rapid: MetresPerSecond | None = field(None, description="its highest speed, without work")
    turns: RadiansPerSecond | None = field(None, description="speed at work of a load that turns")
    rapid_turns: RadiansPerSecond | None = field(None, description="its highest speed, without work")
    force: Newtons | None = field(None, description="force at work")
    torque: NewtonMetresOrZero | None = field(None, description="torque at work of a load that turns")
    vertical: Literal["brake", "self-locking"] | None = field(
        None, description="it falls without torque; what holds it"
    )
    gravity_torque: NewtonMetresSigned | None = field(None, description="torque of its weight at the motor")
    duty: FractionOrZero | None = None
    coasts: SecondsOrZero | None = field(None, description="time that it moves on without power")
    home: Flag | None = None
    limits: Annotated[Literal["0", "1", "2"], Before(str)] | None = None
    cable: Metres | None = None


class BatteryFeed(PlanModel):
    """A battery that the machine lives on, and its charger on the mains."""

    part: PartWords = "battery-24v-18ah"
    charger: PartWords = "charger-24v-5a"


#: Who switches a load: the controller, which is the usual, or a pair of buttons on the door.
CONTROLLER, BUTTONS = "controller", "buttons"


class Load(PlanModel):
    """One load of the process."""

    sort: Literal["heater", "inverter", "motor", "appliance", "source", "valve", "lamp"] = field(alias="kind")
    title: Text = ""
    rated: CoilRating | None = field(
        None,
        description="voltage and power, such as 230 V AC 600 W, between two poles: "
        "a heater of three elements on three phases is three loads; a lamp that has it stands at the machine",
    )
    motor: PartWords | None = field(
        None,
        description="a key of the library, a name of `bought`, or its label, such as `{kind: motor, voltage: 230 V AC, "
        "phases: 1, rated_power: 550 W, rated_current: 4.2 A}` or `{kind: pump, rated: 230 V AC 90 W}`; there "
        "`vertical: true` says that its load falls without power, `self_locking: true` that its gear holds it",
    )
    drive: PartWords | None = field(None, description="the inverter, where it is given")
    part: PartWords | None = field(None, description="the source itself, in the cabinet")
    power: Watts | None = field(
        None, description="power at work of a motor, where it is not the rated one; what a source feeds without `rated`"
    )
    duty: FractionOrZero | None = None
    coasts: SecondsOrZero | None = field(None, description="time that it turns on without power")
    metal: Flag | None = None
    cut_out: Celsius | None = field(None, description="temperature at which the thermal cut-out of a heater opens")
    keeps: Celsius | None = field(
        None, description="temperature that a thermostat keeps a heater at; without it what switches it ends the heat"
    )
    switched: Name = field(
        CONTROLLER,
        description="who switches it: `controller`, an output of the one that is given, or `buttons`, on and off",
    )
    liquid: Flag | None = field(
        None, description="whether a heater lies in a liquid, and must not be on when it is dry; every heater says it"
    )
    excludes: tuple[Name, ...] | None = field(
        None, description="valves that must never be on together with it; `[]` where it may be on with any of them"
    )
    cable: Metres | None = None


class Guard(PlanModel):
    """A guard that stops the machine when it is opened."""

    lock: Flag = field(False, description="it stays shut until what it guards stands still")
    distance: Metres | None = field(None, description="way from the guard to what can hurt")
    guards: tuple[Name, ...] | None = field(
        None, description="axes and loads that are reached through it once it is open; all where it is left out"
    )

    def leads_to(self, name: str) -> bool:
        """Whether an axis or a load is reached through it."""
        return self.guards is None or name in self.guards


class Stops(PlanModel):
    """What stops the machine: emergency stops by where they are, and guards."""

    buttons: tuple[Literal["door", "machine"], ...] = field(("door",), min_length=1)
    guards: dict[Name, Guard] = field(default_factory=dict)


class Operators(PlanModel):
    """What a person works and sees, besides reset and stops."""

    start: Flag = True
    hold: Flag = False
    pedal: Flag = field(False, description="a pedal that the controller reads: its program says what it starts")
    lamps: tuple[Literal["control", "live", "running"], ...] = ("control", "live")


def _format(value: Any) -> Any:
    return int(value) if isinstance(value, str) and value.isdecimal() and len(value) < 5 else value


class Description(PlanModel):
    """One description."""

    format: Annotated[Literal[1], Before(_format)] = 1
    describe: Text = field(description="the name of the machine")
    rulebook: Literal["iec", "na"]
    author: Text = ""
    site: Site = field(default_factory=Site)
    mains: Mains
    battery: BatteryFeed | None = field(None, description="what it lives on; the mains then feeds its charger alone")
    cabinet: Cabinet = field(default_factory=Cabinet)
    bought: dict[Name, dict[str, Any]] = field(
        default_factory=dict,
        description="what is there already, with the data of its label: it is kept as it is, and named where it "
        "stands; a supply needs no place, for it feeds the rail of its voltage, of 24 V the controls first",
    )
    prices: dict[Name, Text] = field(
        default_factory=dict,
        description="what parts of the library cost you by key, such as `12.50 EUR`: the cheapest that passes is taken",
    )
    axes: dict[Name, Axis] = field(default_factory=dict)
    loads: dict[Name, Load] = field(default_factory=dict)
    runs: dict[Name, tuple[Name, ...]] = field(
        default_factory=dict, description="what works at the same time, by state; without it everything does"
    )
    stops: Stops = field(default_factory=Stops)
    operators: Operators = field(default_factory=Operators)
    controller: PartWords | None = None
    room: Annotated[Literal["0", "1", "2"], Before(str)] = field(
        "0", description="further axes for which supplies, terminals and the controller keep room"
    )
