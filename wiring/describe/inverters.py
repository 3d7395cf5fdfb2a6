"""Motors of the process on an inverter, which torque off stops; and what every motor of the process says of itself."""

from __future__ import annotations

from wiring.describe.build import Build, Refused, least, library_of, own_model, own_words, part_words
from wiring.describe.description import Load, PartWords
from wiring.describe.draft import End
from wiring.describe.drive_wiring import earth_part, power_cable, torque_off
from wiring.describe.drives import stands_at, with_leakage
from wiring.describe.feeds import back, feed
from wiring.describe.mains import TOLERANCE, Feed, MainsSide
from wiring.describe.signals import new_input
from wiring.describe.switchgear import marking
from wiring.describe.switching import command
from wiring.describe.text import shown
from wiring.parts.contacts import split_pair
from wiring.parts.drives import Inverter
from wiring.parts.motors import Motor
from wiring.plan.site import BuildingRcd

#: Residual current devices against shock trip at this or less (IEC 60364-4-41, 415.1.1); inverters are sold with a
#: filter that leaks no more than equipment with a plug may (IEC 61800-5-1, 4.3.5.5.2; common practice).
_AGAINST_SHOCK_A, _LOW_LEAKAGE, _LOW_LEAKAGE_A = 30e-3, "3.5 mA", 3.5e-3


def title_of(name: str, load: Load) -> str:
    """What a load is called."""
    return str(load.title or name)


def work_of(load: Load, model: Motor) -> dict[str, str]:
    """What a motor does at work: the power that is given, or all of it."""
    assert load.motor is not None
    # in three figures 0.5 hp would be more than the motor has
    whole = str(own_words(load.motor, "rated_power") or shown(model.rated_power, "power"))
    found = {"power": shown(load.power, "power") if load.power else whole}
    return {**found, "duty": f"{100 * load.duty:g} %"} if load.duty else found


def on_words(load: Load) -> object:
    """What a state says of it while it works."""
    return {"duty": f"{100 * load.duty:g} %"} if load.duty else "on"


def run_down(load: Load) -> dict[str, object]:
    """How long it turns on, where that is given."""
    return {"run_down": shown(load.coasts, "time")} if load.coasts else {}


def reached(build: Build, name: str) -> dict[str, object]:
    """That a pump or a fan can hurt, where a guard leads to it: its kind alone does not say so."""
    guards = build.description.stops.guards.values()
    return {"hazardous": True} if any(one.leads_to(name) for one in guards) else {}


def inverter(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A motor on an inverter: both torque off inputs behind the stop relay, its fault relay read by the controller."""
    assert load.motor is not None
    motor_model = own_model(load.motor)
    assert isinstance(motor_model, Motor)
    title = title_of(name, load)
    supply, words, model = _inverter_of(build, side, name, load, motor_model)
    draft = build.draft
    drive, motor = draft.name("T"), draft.name("M")
    power = {str(n): end for n, end in enumerate(model.supply_terminals())}
    stopped = len(model.sto) < 2
    side.branch(title, supply, [f"{drive}:{end}" for end in power.values()], stopped=stopped, kind="inverter")
    asked = f"{shown(model.rated, 'power')} for a motor of {shown(motor_model.rated_power, 'power')}"
    marked = marking(build) if load.drive is None else {}  # what is given stands what its label says
    how = "behind the contactors" if stopped else "two safe torque off inputs stop it"
    how += "; with a filter of low leakage, as for a plug" if model.leakage == _LOW_LEAKAGE_A else ""
    draft.part("process", drive, part_words(words, title=f"{title} inverter", **marked), f"{asked}; {how}")
    entry = part_words(load.motor, title=title, work=work_of(load, motor_model))
    draft.part("process", motor, {**entry, **run_down(load)})
    earth_part(build, drive, model, f"{title} inverter")
    join: dict[str, tuple[End, End]] = {
        str(n): (f"{drive}:{phase}", f"{motor}:{phase}") for n, phase in enumerate(("U", "V", "W"), 1)
    }
    metres = build.cable_m(load.cable)
    power_cable(build, title, "inverter-cable", join, f"{motor}:PE", metres, flexing=True, route="field-inverter")
    torque_off(build, drive, model, title)
    _inverter_signals(build, drive, model, name, load)
    build.loads[name] = (motor, "run")


def _is_shared_with_people(build: Build, model: Inverter) -> bool:
    """Whether an inverter hangs behind a residual current device against shock, which bears little."""
    rcd = build.description.mains.rcd
    watched = isinstance(rcd, BuildingRcd) and rcd.residual is not None and rcd.residual <= _AGAINST_SHOCK_A
    return watched and (model.leakage or 0.0) > _LOW_LEAKAGE_A


def _inverter_of(
    build: Build, side: MainsSide, name: str, load: Load, motor: Motor
) -> tuple[Feed, PartWords, Inverter]:
    """The feed and the least or cheapest inverter of the library for a motor, or the one that the description gives."""
    asked_w, asked_a = motor.rated_power, motor.rated_current or 0.0
    own = with_leakage(build, load.drive) if load.drive is not None else None
    given = own_model(own) if own is not None else None
    known = {"": given} if isinstance(given, Inverter) else library_of(Inverter)
    three = side.three()
    fits: list[tuple[float, str, Inverter]] = []
    for key, one in known.items():
        volts = three.volts if one.phases == "3" and three else None if one.phases == "3" else side.volts()
        if volts is not None and stands_at(one.supply, volts):
            gives = (one.output_current or asked_a) >= asked_a and one.rated >= asked_w * 0.999
            if gives and motor.voltage.volts <= volts * (1 + TOLERANCE):
                fits.append((one.rated, key, one))
    found = least(fits, build.description.prices)
    if found is None:
        need = (
            f"{name} needs an inverter of {shown(asked_w, 'power')} and {asked_a:.3g} A for {motor.voltage.volts:g} V"
        )
        if isinstance(given, Inverter):
            raise Refused(
                need,
                f"its drive gives {shown(given.rated, 'power')} from {given.supply.low:g} V on {given.phases} phases",
                "Give one for this mains and motor, or none; one of 2.2 kW that is sold for 3 hp is `rated: 3 hp`.",
                ("loads", name, "drive"),
            )
        raise Refused(
            need,
            f"the library has none for a mains of {side.volts():.3g} V and {len(side.lines)} lines",
            "Give the inverter with its data: `drive: {kind: inverter, ...}`, or take another motor.",
            ("loads", name),
        )
    key, model = found
    if own is None and _is_shared_with_people(build, model):
        own = part_words(key, leakage=_LOW_LEAKAGE)
        model = model.model_copy(update={"leakage": _LOW_LEAKAGE_A})
    supply = three if model.phases == "3" else side.single()
    assert supply is not None
    return supply, own if own is not None else key, model


def _inverter_signals(build: Build, drive: str, model: Inverter, name: str, load: Load) -> None:
    """Run from what switches it, and the fault relay to an input."""
    draft, title = build.draft, title_of(name, load)
    if model.inputs:
        plus, minus = split_pair(model.inputs[0])
        start = command(build, name, load, title, "run")
        draft.wire("switched", start, f"{drive}:{plus}", build.type("control"), f"{title} run")
        draft.wire("switched", f"{drive}:{minus}", back(build), build.type("control", back=True), f"{title} run return")
    if model.relay:
        plus, minus = split_pair(model.relay)
        draft.wire(
            "signals", feed(build, "operators"), f"{drive}:{plus}", build.type("control"), f"{title} report feed"
        )
        new_input(build, f"{drive}:{minus}", f"{title} ready", "other", kind="control")
