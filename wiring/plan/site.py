"""The head of a plan: where the machine stands, what feeds it, the cabinet around it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from wiring.plan.fault import Refusal
from wiring.plan.model import Before, Model, field
from wiring.plan.ratings import Voltage
from wiring.plan.records import Box, Pair, Spot
from wiring.plan.types import (
    AirCelsius,
    Altitude,
    Amperes,
    Flow,
    Fraction,
    FractionOrZero,
    MainsHertz,
    Metres,
    MetresOrZero,
    Ohms,
    WireSize,
)
from wiring.plan.words import CountOrZero, EnergyClass, Flag, Insulation, Name, Protection

CurveWord = Literal["B", "C", "D", "K", "Z"]
MountingWord = Literal[
    "free-standing", "wall", "row-end", "row-end-wall", "row-middle", "row-middle-wall", "row-middle-wall-covered"
]


class PlanModel(Model):
    """A mapping of the plan: frozen, and every key it does not know is a fault."""


class Site(PlanModel):
    """Where the machine works."""

    ambient: AirCelsius | None = field(None, description="highest air temperature around the cabinet")
    altitude: Altitude | None = field(None, description="height above sea level")
    exposed_to: tuple[Literal["dust", "mist", "hose"], ...] | None = field(
        None,
        description="what reaches the cabinet: dust or chips, drops or mist of coolant, the jet of a hose; or `[]`",
    )


class Upstream(PlanModel):
    """The protective device of the building in front of the machine."""

    kind: Literal["breaker", "fuse"]
    rating: Amperes
    curve: CurveWord | None = field(None, description="tripping characteristic of a breaker (IEC 60898-1)")
    energy_class: EnergyClass | None = field(None, description="of a breaker B or C: the 3 in a square on it")
    fuse_class: Literal["gG", "aM", "J", "CC", "RK1", "RK5", "T", "G", "L"] | None = field(None, alias="class")


def _ac(value: Any) -> Voltage:
    voltage = Voltage.from_plan(value)
    if voltage.kind == "DC" or not voltage.volts:
        raise Refusal(f"{value!r} is no mains voltage", "an AC voltage, for example 230 V")
    return voltage


class BuildingRcd(PlanModel):
    """The residual current device of the building in front of the machine."""

    residual: Amperes | None = field(None, description="rated residual current, 30 mA for instance")
    type: Literal["AC", "A", "F", "B"] | None = None
    time_delay: Flag = field(False, description="opens with a delay (type S)")


class BuildingFeed(PlanModel):
    """The cable of the building that leads to the inlet of the machine."""

    size: WireSize | None = None
    protective_size: WireSize | None = field(None, description="of its protective conductor, where it differs")
    length: Metres | None = None
    insulation: Insulation | None = None
    method: Literal["A1", "A2", "B1", "B2", "C", "D1", "D2", "E", "F", "flexible cord"] | None = field(
        None, description="how it is laid (IEC 60364-5-52)"
    )
    grouped_with: CountOrZero | None = field(None, description="loaded circuits that it lies together with")
    ambient: AirCelsius | None = field(None, description="air temperature along it, where it differs from the site")


class Mains(PlanModel):
    """The supply at the inlet; `voltage` is line to neutral for single-phase, between the outer lines otherwise."""

    inlet: Name | None = field(None, description="the part at which the supply enters")
    system: Literal["single-phase", "split-phase", "three-phase"]
    voltage: Annotated[Voltage, Before(_ac)]
    frequency: MainsHertz | None = None
    earthing: Literal["TN-S", "TN-C-S", "TT", "IT"] | None = None
    electrode: Ohms | None = field(None, description="resistance of the earth electrode of a TT system")
    insulation_monitor: Literal["alarm", "trips"] | None = field(
        None, description="what the insulation monitoring of an IT system does on the first fault to earth"
    )
    fault_current: Amperes | None = field(
        None,
        description="prospective short-circuit current at the inlet: of all three phases on three-phase mains, "
        "between the outer lines on split-phase ones, else line to neutral",
    )
    upstream: Upstream | None = None
    rcd: BuildingRcd | Literal["none"] | None = field(
        None, description="residual current device of the building, or none"
    )
    connection: Literal["fixed", "polarised plug", "reversible plug"] | None = field(
        None, description="hard-wired, or a plug that fits one way or both ways round"
    )
    shared: Flag | None = field(None, description="whether other loads hang on the same circuit of the building")
    feed: BuildingFeed | None = field(None, description="cable from the building to the inlet")


class Fan(PlanModel):
    """A fan with filter in the wall of the cabinet."""

    airflow: Flow = field(description="delivered air flow, with the filter in place")


#: The most rails, and the most ducts, of one plate.
MOST_PIECES = 100


class Rail(PlanModel):
    """A mounting rail on the plate of the cabinet."""

    at: Spot = field(description="its left end on its middle line, from the lower left corner of the plate")
    length: Metres


class Duct(PlanModel):
    """A wiring duct on the plate of the cabinet."""

    at: Spot = field(description="its lower left corner, from that of the plate")
    length: Metres
    size: Pair = field(description="width as seen from the front x depth")
    run: Literal["across", "up"] = "across"


class Enclosure(PlanModel):
    """The cabinet."""

    size: Box | None = field(None, description="outer width x height x depth")
    plate: Pair | None = field(None, description="mounting plate, width x height")
    hinge: Literal["left", "right"] | None = field(None, description="side of its door's hinges, seen from the front")
    entry: Literal["bottom", "top", "left", "right"] | None = field(None, description="side at which cables enter")
    opens: Literal["tool", "interlock", "free"] | None = field(
        None, description="how its door opens: with a tool or key, only with the main switch off, or freely"
    )
    height: MetresOrZero | None = field(None, description="of its lower edge above the floor")
    spare: FractionOrZero | None = field(None, description="share of each rail that stays free")
    rails: dict[Name, Rail] = field(
        default_factory=dict, max_length=MOST_PIECES, description="mounting rails on its plate, by name"
    )
    ducts: dict[Name, Duct] = field(
        default_factory=dict, max_length=MOST_PIECES, description="wiring ducts on its plate, by name"
    )
    material: Literal["painted-steel", "stainless-steel", "aluminium", "plastic"] | None = None
    mounting: MountingWord | None = None
    protection: Protection | None = None
    fan: Fan | None = None
    ventilated: Flag | None = field(None, description="whether it has openings for air")
    duct_fill: Fraction | None = field(None, description="highest filling of its wiring ducts that you want")
