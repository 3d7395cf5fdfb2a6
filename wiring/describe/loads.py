"""Loads of the process: across the line behind the contactors, on an inverter with torque off, or at 24 V."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.describe.build import Build, Consumer, Refused, library_of, own_model, part_words
from wiring.describe.description import Load, PartWords
from wiring.describe.draft import CableEntry, End
from wiring.describe.mains import Feed, MainsSide, contactor
from wiring.describe.rails import back, earth_part, feed, power_cable, torque_off
from wiring.describe.signals import field_back, lamp, new_input, new_output
from wiring.describe.text import shown
from wiring.parts.base import split_pair
from wiring.parts.drives import Inverter
from wiring.parts.loads import ProcessSource
from wiring.parts.motors import Motor
from wiring.rulebooks.steps import PROTECTOR_A, first_at_least

#: A load may be made for a voltage that differs by this share from that of the mains (IEC 60038).
_TOLERANCE = 0.10


def process_loads(build: Build, side: MainsSide) -> None:
    """Every load of the description."""
    for name, load in build.description.loads.items():
        _WIRED[load.sort](build, side, name, load)


def _title(name: str, load: Load) -> str:
    return str(load.title or name)


def _on(load: Load) -> object:
    """What a state says of it while it works."""
    return {"duty": f"{100 * load.duty:g} %"} if load.duty else "on"


def _fitting(name: str, made_for: float, supply: Feed, key: str) -> None:
    if abs(made_for - supply.volts) > _TOLERANCE * supply.volts:
        raise Refused(
            f"{name} is made for {made_for:g} V",
            f"the mains gives {supply.volts:.3g} V",
            "Take one for that voltage, or feed it from a transformer by hand.",
            ("loads", name, key),
        )


def _across_the_line(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A heater or an appliance, behind the contactors of the stop and one of its own, which the controller closes."""
    assert load.rated is not None
    title, supply = _title(name, load), side.single()
    _fitting(name, load.rated.voltage.volts, supply, "rated")
    part = build.draft.name("E")
    kind = "heater" if load.sort == "heater" else "load"
    data = {"kind": kind, "title": title, "at": "machine", "rated": build.raw("loads", name, "rated")}
    data["metal"] = load.metal is not False
    build.draft.part("process", part, {**data, **_run_on(load)}, f"takes {load.rated.current_a:.3g} A")
    ends = _switched(build, side, title, supply)
    join: dict[str, tuple[End, End]] = {str(n): (end, f"{part}:{n}") for n, end in enumerate(ends, 1)}
    earth = None if load.metal is False else f"{part}:PE"
    power_cable(build, title, "load-cable", join, earth, build.cable_m(load.cable), shielded=False)
    build.loads[name] = (part, _on(load))


def _run_on(load: Load) -> dict[str, object]:
    return {"run_on": shown(load.coasts, "time")} if load.coasts else {}


def _switched(build: Build, side: MainsSide, title: str, supply: Feed, device: str = "") -> list[End]:
    """A branch through a contactor of its own to terminals; these."""
    key = _switch(build, title, len(supply.poles))
    ends = [f"{key}:{2 * n + 1}" for n in range(len(supply.poles))]
    side.branch(title, supply, ends, stopped=True, device=device)
    row = build.draft.row("X5", "loads of the process", bridged=())
    found: list[End] = []
    for n, pole in enumerate(supply.poles):
        slot = row.take(title)
        kind = build.type("neutral" if pole == "N" else "line")
        build.draft.wire("branches", f"{key}:{2 * n + 2}", slot, kind, f"{title} {pole}")
        found.append(slot)
    return found


def _switch(build: Build, title: str, poles: int) -> str:
    """A contactor whose coil an output of the controller feeds, for what is behind the contactors of the stop."""
    draft = build.draft
    key = draft.name("K")
    words = contactor(build, key, f"{title} on", poles)
    del words["contacts"]
    why = "the controller closes it and drops it with every stop, so that a reset alone starts nothing"
    draft.part("process", key, words, why)
    draft.wire("switched", new_output(build, "run"), f"{key}:A1", build.type("control"), f"{title} on")
    draft.wire("switched", f"{key}:A2", back(build), build.type("control", back=True), f"{title} on return")
    return key


def _motor(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A motor across the line, with a protective switch set to its current."""
    assert load.motor is not None
    model = own_model(load.motor)
    assert isinstance(model, Motor)
    title = _title(name, load)
    supply = side.three() if model.phases == "3" else side.single()
    if supply is None or model.phases == "DC":
        raise Refused(
            f"{name} is a motor for {'three phases' if model.phases == '3' else 'direct voltage'}",
            "the mains has none",
            "Put it on an inverter (`kind: inverter`), or take a motor for this mains.",
            ("loads", name),
        )
    _fitting(name, model.voltage.volts, supply, "motor")
    if model.rated_current is None:
        raise Refused(
            f"{name} gives no rated current",
            "its protective switch is set to that",
            "Add `rated_current` from its label.",
            ("loads", name, "motor"),
        )
    draft = build.draft
    motor = draft.name("M")
    part = part_words(load.motor, title=title, work=_work(load, model))
    draft.part("process", motor, {**part, **_run_down(load)}, f"takes {model.rated_current:.3g} A")
    device = _protector(build, title, model.rated_current, len(supply.poles))
    ends = _switched(build, side, title, supply, device)
    phases = ("U", "V", "W") if model.phases == "3" else ("U1", "U2")
    pairs = enumerate(zip(ends, phases, strict=True), 1)
    join: dict[str, tuple[End, End]] = {str(n): (end, f"{motor}:{phase}") for n, (end, phase) in pairs}
    power_cable(build, title, "load-cable", join, f"{motor}:PE", build.cable_m(load.cable), shielded=False)
    draft.wire("signals", feed(build, "operators"), f"{device}:95", build.type("control"), f"{title} protector feed")
    new_input(build, f"{device}:96", f"{title} protector not tripped", "other", kind="control")
    build.loads[name] = (motor, "run")


def _work(load: Load, model: Motor) -> dict[str, str]:
    found = {"power": shown(load.power or model.rated_power, "power")}
    return {**found, "duty": f"{100 * load.duty:g} %"} if load.duty else found


def _run_down(load: Load) -> dict[str, object]:
    return {"run_down": shown(load.coasts, "time")} if load.coasts else {}


def _protector(build: Build, title: str, amps: float, poles: int) -> str:
    """A motor protective switch whose range holds the current of the motor."""
    span = first_at_least(PROTECTOR_A, amps, lambda one: one[1])
    if span is None:
        raise Refused(
            f"{title} takes {amps:.3g} A", f"motor protective switches end at {PROTECTOR_A[-1][1]:g} A",
            "Put it on an inverter.", ("loads",),
        )  # fmt: skip
    name = build.draft.name("F")
    iec = build.rulebook == "iec"
    data = {
        "kind": "motor-protector",
        "title": title,
        "poles": str(poles),
        "setting": f"{amps:g} A",
        "range": f"{span[0]:g}..{span[1]:g} A",
        "trip_class": "10",
        "breaking": "50 kA",
        "rated_voltage": "400 V AC" if iec else "600 V AC",
        "contacts": {"95-96": "NC"},
        "sizes": "0.75..6 mm2" if iec else "18..10 AWG",
        "wires_per_terminal": "2",
    }
    why = f"set to the {amps:g} A of the motor; also opens a short circuit"
    return build.draft.part("protection of the branches", name, data, why)


def _inverter(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A motor on an inverter: both torque off inputs behind the stop relay, its fault relay read by the controller."""
    assert load.motor is not None
    motor_model = own_model(load.motor)
    assert isinstance(motor_model, Motor)
    title = _title(name, load)
    supply, words, model = _inverter_of(side, name, load, motor_model)
    draft = build.draft
    drive, motor = draft.name("T"), draft.name("M")
    power = {str(n): end for n, end in enumerate(model.supply_terminals())}
    stopped = len(model.sto) < 2
    side.branch(title, supply, [f"{drive}:{end}" for end in power.values()], stopped=stopped, kind="inverter")
    asked = f"{shown(model.rated, 'power')} for a motor of {shown(motor_model.rated_power, 'power')}"
    how = "behind the contactors" if stopped else "two safe torque off inputs stop it"
    draft.part("process", drive, part_words(words, title=f"{title} inverter"), f"{asked}; {how}")
    entry = part_words(load.motor, title=title, work=_work(load, motor_model))
    draft.part("process", motor, {**entry, **_run_down(load)})
    earth_part(build, drive, model, f"{title} inverter")
    join: dict[str, tuple[End, End]] = {
        str(n): (f"{drive}:{phase}", f"{motor}:{phase}") for n, phase in enumerate(("U", "V", "W"), 1)
    }
    metres = build.cable_m(load.cable)
    power_cable(build, title, "inverter-cable", join, f"{motor}:PE", metres, flexing=True, route="field-inverter")
    torque_off(build, drive, model, title)
    _inverter_signals(build, drive, model, title)
    build.loads[name] = (motor, "run")


def _inverter_of(side: MainsSide, name: str, load: Load, motor: Motor) -> tuple[Feed, PartWords, Inverter]:
    """The feed and the least inverter of the library for a motor, or the one that the description gives."""
    asked_w, asked_a = motor.rated_power, motor.rated_current or 0.0
    given = own_model(load.drive) if load.drive is not None else None
    known = {"": given} if isinstance(given, Inverter) else library_of(Inverter)
    three = side.three()
    fits: list[tuple[float, str, Inverter]] = []
    for key, one in known.items():
        volts = three.volts if one.phases == "3" and three else None if one.phases == "3" else side.volts()
        if volts is not None and one.supply.low <= volts * 1.001 and volts <= one.supply.high * 1.001:
            gives = (one.output_current or asked_a) >= asked_a and one.rated >= asked_w * 0.999
            if gives and motor.voltage.volts <= volts * (1 + _TOLERANCE):
                fits.append((one.rated, key, one))
    if not fits:
        raise Refused(
            f"{name} needs an inverter of {shown(asked_w, 'power')} and {asked_a:.3g} A for {motor.voltage.volts:g} V",
            f"the library has none for a mains of {side.volts():.3g} V and {len(side.lines)} lines",
            "Give the inverter with its data: `drive: {kind: inverter, ...}`, or take another motor.",
            ("loads", name),
        )
    _, key, model = min(fits, key=lambda one: one[:2])
    supply = three if model.phases == "3" else side.single()
    assert supply is not None
    return supply, load.drive if load.drive is not None else key, model


def _inverter_signals(build: Build, drive: str, model: Inverter, title: str) -> None:
    """Run from an output of the controller, and the fault relay to an input."""
    draft = build.draft
    if model.inputs:
        plus, minus = split_pair(model.inputs[0])
        draft.wire("switched", new_output(build, "run"), f"{drive}:{plus}", build.type("control"), f"{title} run")
        draft.wire("switched", f"{drive}:{minus}", back(build), build.type("control", back=True), f"{title} run return")
    if model.relay:
        plus, minus = split_pair(model.relay)
        draft.wire(
            "signals", feed(build, "operators"), f"{drive}:{plus}", build.type("control"), f"{title} report feed"
        )
        new_input(build, f"{drive}:{minus}", f"{title} ready", "other", kind="control")


def _source(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A process source in the cabinet, behind the contactors, and what it feeds at the machine."""
    assert load.part is not None
    model = own_model(load.part)
    assert isinstance(model, ProcessSource)
    draft, title, supply = build.draft, _title(name, load), side.single()
    source = draft.name("G")
    key = _switch(build, title, len(supply.poles))
    ends = [f"{key}:{2 * n + 1}" for n in range(len(supply.poles))]
    side.branch(title, supply, ends, stopped=True)
    for n, pole in enumerate(supply.poles):
        kind = build.type("neutral" if pole == "N" else "line")
        draft.wire("branches", f"{key}:{2 * n + 2}", f"{source}:{('L', 'N')[n]}", kind, f"{title} {pole}")
    draft.part("process", source, part_words(load.part, title=f"{title} source"), "behind the contactors of the stop")
    draft.earth(f"{source}:PE", build.type("earth-branch"), f"{title} source")
    work = draft.name("E")
    rated = build.raw("loads", name, "rated")
    draft.part("process", work, {"kind": "heater", "title": title, "rated": rated, "metal": bool(load.metal)})
    row = draft.row("X5", "loads of the process", bridged=(f"{title} return",))
    plus, minus = row.take(title), row.take(f"{title} return")
    draft.wire("branches", f"{source}:OUT+", plus, build.type("line"), title)
    draft.wire("branches", f"{source}:OUT-", minus, build.type("line"), f"{title} return")
    earth = f"{work}:PE" if load.metal else None
    join: dict[str, tuple[End, End]] = {"1": (plus, f"{work}:1"), "2": (minus, f"{work}:2")}
    power_cable(build, title, "load-cable", join, earth, build.cable_m(load.cable), shielded=False)
    why = "a wire that touches metal then draws a current at once"
    draft.earth(row.take(f"{title} return"), build.type("earth-branch"), f"{title} return", why)
    build.loads[name] = (source, _on(load))
    build.followers[source] = work


def _valve(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A valve at 24 V behind two contacts of the stop relay and a relay of the controller."""
    del side
    title = _title(name, load)
    valve = build.draft.name("Y")
    rated = build.raw("loads", name, "rated")
    data = {"kind": "valve", "title": title, "rated": rated, "suppressor": "diode"}
    build.draft.part("process", valve, data)
    switched_24v(build, title, (f"{valve}:1", f"{valve}:2"), build.cable_m(load.cable))
    build.loads[name] = (valve, _on(load))


def switched_24v(build: Build, title: str, ends: Sequence[str], metres: float) -> None:
    """A coil at the machine, fed through two contacts of the stop relay in series and a relay of the controller."""
    draft = build.draft
    relay = draft.name("K")
    why = "fed through two contacts of the stop relay; the controller drops it with every stop"
    draft.part("process", relay, {"use": "relay-24v-dc-1-changeover", "title": title}, why)
    draft.wire("switched", new_output(build, "other"), f"{relay}:A1", build.type("control"), f"{title} on")
    draft.wire("switched", f"{relay}:A2", back(build), build.type("control", back=True), f"{title} on return")
    build.third.append(Consumer(f"{relay}:11", f"feed {title}"))
    row = draft.row("X4", "field wiring", bridged=("feed", "returns"))
    slot = row.take("process")
    draft.wire("switched", f"{relay}:14", slot, build.type("control"), title)
    join: dict[str, tuple[End, End]] = {"1": (slot, ends[0]), "2": (field_back(build), ends[1])}
    kind, route = build.type("stop-cable"), build.route("field-power")
    draft.cables.append(CableEntry(title, kind, build.length(metres), route, join))


def brakes(build: Build) -> None:
    """The brake of every axis that would fall: it holds without power, so every stop drops it."""
    for one in build.drives:
        if one.motion.axis.vertical == "brake":
            title = f"brake of {one.motion.title}"
            brake = build.draft.name("Y")
            data = {"use": "brake-24v-12w", "title": title, "holds": one.motor, "suppressor": "varistor"}
            build.draft.part(
                "axes", brake, data, "holds without power: every stop, and every failure of power, drops it"
            )
            switched_24v(build, title, (f"{brake}:A1", f"{brake}:A2"), build.cable_m(one.motion.axis.cable))


def _lamp(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A lamp on the door that the controller lights."""
    del side
    lamp(build, "lamp-24v-white", _title(name, load), new_output(build, "other"))


_WIRED = {
    "heater": _across_the_line,
    "appliance": _across_the_line,
    "motor": _motor,
    "inverter": _inverter,
    "source": _source,
    "valve": _valve,
    "lamp": _lamp,
}
