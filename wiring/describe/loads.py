"""Loads of the process: across the line behind the contactors, on an inverter with torque off, or at 24 V."""

from __future__ import annotations

from wiring.describe.build import Build, Refused, own_model, part_words
from wiring.describe.coils import valve
from wiring.describe.description import CONTROLLER, Load
from wiring.describe.draft import End
from wiring.describe.drive_wiring import power_cable
from wiring.describe.feeds import back, feed, fuse
from wiring.describe.heating import coil_contacts, cut_out
from wiring.describe.inverters import inverter, on_words, run_down, title_of, work_of
from wiring.describe.mains import TOLERANCE, Feed, MainsSide, contactor
from wiring.describe.signals import lamp, new_input, new_output
from wiring.describe.switching import command, held_in
from wiring.describe.text import shown
from wiring.parts.loads import ProcessSource
from wiring.parts.motors import Motor
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rulebooks.steps import PROTECTOR_A, first_at_least


def process_loads(build: Build, side: MainsSide) -> None:
    """Every load of the description."""
    for name, load in build.description.loads.items():
        _WIRED[load.sort](build, side, name, load)


def _fitting(name: str, made_for: float, supply: Feed, key: str) -> None:
    if abs(made_for - supply.volts) > TOLERANCE * supply.volts:
        raise Refused(
            f"{name} is made for {made_for:g} V",
            f"the mains gives {supply.volts:.3g} V",
            "Take one for that voltage, or feed it from a transformer by hand.",
            ("loads", name, key),
        )


def _across_the_line(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A heater or an appliance, behind the contactors of the stop and one of its own, which the controller closes."""
    assert load.rated is not None
    title, supply = title_of(name, load), side.single(load.rated.voltage.volts)
    _fitting(name, load.rated.voltage.volts, supply, "rated")
    part = build.draft.name("E")
    kind = "heater" if load.sort == "heater" else "load"
    data = {"kind": kind, "title": title, "at": "machine", "rated": build.raw("loads", name, "rated")}
    data |= {"metal": load.metal is not False} | ({} if load.sort == "heater" else {"hazardous": True})
    build.draft.part("process", part, {**data, **_run_on(load)}, f"takes {load.rated.current_a:.3g} A")
    ends = _switched(build, side, name, load, supply)
    join: dict[str, tuple[End, End]] = {str(n): (end, f"{part}:{n}") for n, end in enumerate(ends, 1)}
    if load.sort == "heater":
        join = cut_out(build, name, load, part, ends)
    earth = None if load.metal is False else f"{part}:PE"
    _mains_cable(build, title, join, earth, load)
    build.loads[name] = (part, on_words(load))


def _mains_cable(build: Build, title: str, join: dict[str, tuple[End, End]], earth: End | None, load: Load) -> None:
    """A cable of the mains, in a tray of its own: among the cables of the axes it would bear less."""
    metres = build.cable_m(load.cable)
    power_cable(build, title, "load-cable", join, earth, metres, shielded=False, route="field-mains")


def _run_on(load: Load) -> dict[str, object]:
    return {"run_on": shown(load.coasts, "time")} if load.coasts else {}


def _switched(build: Build, side: MainsSide, name: str, load: Load, supply: Feed, device: str = "") -> list[End]:
    """A branch through a contactor of its own to terminals; these."""
    title, key = title_of(name, load), _switch(build, name, load, len(supply.poles))
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


def _switch(build: Build, name: str, load: Load, poles: int) -> str:
    """A contactor whose coil an output of the controller feeds, for what is behind the contactors of the stop."""
    draft, title = build.draft, title_of(name, load)
    key = draft.name("K")
    words = contactor(build, key, f"{title} on", poles)
    del words["contacts"]
    why = "what switches it on drops it with every stop, so that a reset alone starts nothing"
    draft.part("process", key, words, why)
    start = coil_contacts(build, name, title, load, command(build, name, load, title, "run"))
    draft.wire("switched", start, f"{key}:A1", build.type("control"), f"{title} on")
    draft.wire("switched", f"{key}:A2", back(build), build.type("control", back=True), f"{title} on return")
    return key


def _motor(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A motor across the line, with a protective switch set to its current."""
    assert load.motor is not None
    model = own_model(load.motor)
    assert isinstance(model, Motor)
    if model.phases == "DC" and build.description.battery is not None:
        _direct_motor(build, name, load, model)
        return
    title = title_of(name, load)
    supply = side.three() if model.phases == "3" else side.single(model.voltage.volts)
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
    part = part_words(load.motor, title=title, work=work_of(load, model))
    draft.part("process", motor, {**part, **run_down(load)}, f"takes {model.rated_current:.3g} A")
    device = _protector(build, title, model.rated_current, len(supply.poles))
    ends = _switched(build, side, name, load, supply, device)
    phases = ("U", "V", "W") if model.phases == "3" else ("U1", "U2")
    pairs = enumerate(zip(ends, phases, strict=True), 1)
    join: dict[str, tuple[End, End]] = {str(n): (end, f"{motor}:{phase}") for n, (end, phase) in pairs}
    _mains_cable(build, title, join, f"{motor}:PE", load)
    draft.wire("signals", feed(build, "operators"), f"{device}:95", build.type("control"), f"{title} protector feed")
    new_input(build, f"{device}:96", f"{title} protector not tripped", "other", kind="control")
    build.loads[name] = (motor, "run")


def _direct_motor(build: Build, name: str, load: Load, model: Motor) -> None:
    """A motor for direct voltage on the battery, behind the contactors, a fuse and a contactor of its own."""
    assert load.motor is not None
    draft, title = build.draft, title_of(name, load)
    motor = draft.name("M")
    words = part_words(load.motor, title=title, work=work_of(load, model))
    draft.part("process", motor, {**words, **run_down(load)})
    device = fuse(build, title, "fuses of the drives", "6 A", quick=True)
    build.motion.append(f"{device}:1")
    key = _held_in(build, name, title)
    draft.wire("rail", f"{device}:2", f"{key}:1", build.type("motor"), title)
    slot = draft.row("X5", "loads of the process", bridged=()).take(title)
    draft.wire("rail", f"{key}:2", slot, build.type("motor"), title)
    join: dict[str, tuple[End, End]] = {"1": (slot, f"{motor}:A1"), "2": (back(build), f"{motor}:A2")}
    power_cable(build, title, "load-cable", join, f"{motor}:PE", build.cable_m(load.cable), shielded=False)
    build.loads[name] = (motor, "run")


def _held_in(build: Build, name: str, title: str) -> str:
    """A contactor behind the stop relay that two buttons work and that holds itself; it falls with every stop.

    A program on the battery outlives the mains, so what it starts then could not be told from what starts by itself.
    """
    key = build.draft.name("K")
    words = contactor(build, key, f"{title} on", 1) | {"contacts": {"13-14": "NO"}}
    build.draft.part("process", key, words, "holds itself behind the stop relay, so that a reset alone starts nothing")
    held_in(build, name, title, key, ("13", "14"))
    return key


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


def _source(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A process source in the cabinet, behind the contactors, and what it feeds at the machine."""
    assert load.part is not None
    model = own_model(load.part)
    assert isinstance(model, ProcessSource)
    draft, title, supply = build.draft, title_of(name, load), side.single()
    assert load.rated is not None
    if load.rated.current_a > (1.0 - KEPT_FREE) * model.rated * 1.001:
        raise Refused(
            f"{name} takes {load.rated.current_a:.3g} A from its source",
            f"the source is rated {model.rated:g} A, of which {100.0 * KEPT_FREE:g} % are kept free",
            "Take a larger source, or ask for less power.",
            ("loads", name, "rated"),
        )
    source = draft.name("G")
    key = _switch(build, name, load, len(supply.poles))
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
    row = draft.row("X11", "sources of the process", bridged=(f"{title} return",))
    plus, minus = row.take(title), row.take(f"{title} return")
    draft.wire("branches", f"{source}:OUT+", plus, build.type("line"), title)
    draft.wire("branches", f"{source}:OUT-", minus, build.type("line"), f"{title} return")
    earth = f"{work}:PE" if load.metal else None
    join: dict[str, tuple[End, End]] = {"1": (plus, f"{work}:1"), "2": (minus, f"{work}:2")}
    power_cable(build, title, "load-cable", join, earth, build.cable_m(load.cable), shielded=False)
    why = "a wire that touches metal then draws a current at once"
    draft.earth(row.take(f"{title} return"), build.type("earth-branch"), f"{title} return", why)
    build.loads[name] = (source, on_words(load))
    build.followers[source] = work


def _lamp(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A lamp on the door that the controller lights."""
    del side
    output = "" if load.switched == CONTROLLER else load.switched
    lamp(build, "lamp-24v-white", title_of(name, load), new_output(build, "other", output))


_WIRED = {
    "heater": _across_the_line,
    "appliance": _across_the_line,
    "motor": _motor,
    "inverter": inverter,
    "source": _source,
    "valve": valve,
    "lamp": _lamp,
}
