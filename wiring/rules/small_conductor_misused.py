"""A power conductor of 18 or 16 AWG carries more, or is guarded by another device, than it may.

So thin a conductor stands in a power circuit under conditions: its load stays at 80 % of its largest device (5.6 A on
18 AWG, 8 A on 16 AWG), less behind a slow overload relay, and its device is a fuse of class CC, J or T, or a breaker
that is listed and marked for that size.

Fires on fan-heater at 9
    F3.class=RK5
    9.size=18 AWG
Quiet
    F3.class=CC
Not judged
    Whether a breaker is listed and marked for so thin a conductor.
Known limits
    Circuits behind a transformer or a supply, and the control circuits, are not power circuits here.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.device.branch_devices import is_mains_power, nearest_device, relay_class
from wiring.design.device.supply_way import parts_by_way
from wiring.design.motor.circuits import direct_motors
from wiring.findings import Mend, Number
from wiring.parts.protection import Breaker, Fuse
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, nfpa_70

_CLAUSE = nfpa_70("240.4(D)(1) and (D)(2)", Standing.CONFIRMED)
RULE = Rule(
    slug="small-conductor-misused",
    title="Thin power conductor is used beyond its conditions",
    signal=Signal.CAUTION,
    harm="A device that is not made for so thin a conductor lets it burn in a short circuit.",
    sources=(("na", _CLAUSE),),
)
_CLASSES = ("CC", "J", "T-UL")
#: From this size on a conductor has no such conditions: 14 AWG [mm2].
_SMALL_BELOW_MM2 = 2.08


def check(design: Design) -> Judgements:
    """Every power conductor on the mains thinner than 14 AWG."""
    if design.plan.rulebook != "na":
        return
    motors = parts_by_way(design.short_circuits.paths, direct_motors(design.machine))
    unmarked: list[str] = []
    for conductor in design.circuit.conductors:
        size = conductor.size
        if size is None or size.area_mm2 >= _SMALL_BELOW_MM2 or not is_mains_power(design, conductor):
            continue
        device = nearest_device(design, conductor)
        data = design.parts[device].data if device else None
        if isinstance(data, Fuse) and data.class_ is not None and data.class_ not in _CLASSES:
            yield _wrong_device(design, conductor, device, data.class_)
        elif isinstance(data, Breaker):
            unmarked.append(conductor.id)
        yield from _load(design, conductor, conductor.id in motors)
    missing = "whether their breaker is listed and marked for so thin a conductor (NFPA 70, 240.4(D))"
    yield from RULE.ask(unmarked, missing)


def requirements(design: Design) -> Requirements:
    """Every power conductor on the mains: 14 AWG where the device in front or the load asks for it."""
    if design.plan.rulebook != "na":
        return
    motors = parts_by_way(design.short_circuits.paths, direct_motors(design.machine))
    for conductor in design.circuit.conductors:
        if conductor.size is None or not is_mains_power(design, conductor):
            continue
        device = nearest_device(design, conductor)
        data = design.parts[device].data if device else None
        if isinstance(data, Fuse) and data.class_ is not None and data.class_ not in _CLASSES:
            yield Requirement(RULE.slug, conductor.id, Quantity.AREA, _SMALL_BELOW_MM2, why=f"class of {device}")
        yield from _asked(design, conductor, "motor" if conductor.id in motors else "power")


def _asked(design: Design, conductor: Conductor, circuit: str) -> Requirements:
    """The thinnest size that may carry the load of a conductor."""
    figure = design.conductors.get(conductor.id)
    relay = relay_class(design, conductor)
    for size in design.book.standard_sizes() if figure is not None else ():
        limit = design.book.largest_load(size, circuit, relay)
        enough = isinstance(limit, Limit) and figure is not None and figure.current_a <= limit.value * (1 + 1e-6)
        if enough or size.area_mm2 >= _SMALL_BELOW_MM2:
            why = f"{figure.current_a:.3g} A in a {circuit} circuit" if figure else ""
            yield Requirement(RULE.slug, conductor.id, Quantity.AREA, size.area_mm2, why=why)
            return


def _wrong_device(design: Design, conductor: Conductor, device: str, fuse_class: str) -> Judgement:
    assert conductor.size is not None
    return RULE.finding(
        (conductor.id, device),
        f"{device} is a fuse of class {fuse_class}, and {conductor.size.text} of {conductor.id} stands behind class "
        "CC, J or T only",
        conductor.place,
        numbers=(Number("conductor", conductor.size.area_mm2 * 1e-6, "m2", conductor.id),),
        mend=(f"Take a fuse of class CC, J or T for {device}.", _thicker(conductor)),
    )


def _thicker(conductor: Conductor) -> Mend:
    ask = Requirement(RULE.slug, conductor.id, Quantity.AREA, _SMALL_BELOW_MM2)
    return Mend(f"Make {conductor.id} of 14 AWG.", asks=(ask,))


def _load(design: Design, conductor: Conductor, feeds_motor: bool) -> Judgements:
    figure = design.conductors.get(conductor.id)
    assert conductor.size is not None
    circuit = "motor" if feeds_motor else "power"
    limit = design.book.largest_load(conductor.size, circuit, relay_class(design, conductor))
    if figure is None or not isinstance(limit, Limit) or figure.current_a <= limit.value * (1 + 1e-6):
        return
    yield RULE.finding(
        (conductor.id,),
        f"{conductor.size.text} of {conductor.id} carries {figure.current_a:.3g} A, and {limit.value:.3g} A is the "
        f"most in a {circuit} circuit",
        conductor.place,
        numbers=(Number("load", figure.current_a, "A", f"state {figure.state}"),),
        limit=limit,
        mend=(_thicker(conductor),),
    )
