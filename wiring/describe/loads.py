"""Loads of the process: across the line behind the contactors, on an inverter with torque off, or at 24 V."""

from __future__ import annotations

from math import sqrt

from msgspec import Struct

from wiring.describe.build import Build, Refused, own_model, own_words, part_words
from wiring.describe.coils import light, valve
from wiring.describe.contactors import contactor_of, heat_limit
from wiring.describe.description import CONTROLLER, Load
from wiring.describe.direct import direct_load, direct_loads, direct_of
from wiring.describe.draft import End
from wiring.describe.drive_wiring import power_cable
from wiring.describe.drives import stands_at
from wiring.describe.heating import bears, cut_out
from wiring.describe.inverters import inverter, on_words, reached, run_down, title_of, work_of
from wiring.describe.locks import locks_of
from wiring.describe.mains import TOLERANCE, Feed, MainsSide
from wiring.describe.protectors import protector, protector_report
from wiring.describe.signals import lamp, new_output
from wiring.describe.text import shown
from wiring.parts.loads import Fan, ProcessSource, Pump
from wiring.parts.motors import Motor
from wiring.plan.ratings import CoilRating
from wiring.quantities import parse
from wiring.rulebooks.limits import KEPT_FREE


def process_loads(build: Build, side: MainsSide) -> None:
    """Every load of the description."""
    direct = direct_loads(build.description)
    build.locks = locks_of(build.description)
    build.valves = {name: build.draft.name("Y") for name in build.locks}
    for name, load in build.description.loads.items():
        if name in direct:
            direct_load(build, name, load, direct[name])
        else:
            _WIRED[load.sort](build, side, name, load)


def made_for(load: Load) -> float:
    """The alternating voltage that a load across the line is made for [V], 0 where it hangs on something else."""
    model = own_model(load.motor) if load.motor is not None and load.sort == "motor" else None
    if direct_of(load) is not None:
        return 0.0
    if isinstance(model, Motor | Pump | Fan):
        return _plate(model).volts
    source = own_model(load.part) if load.part is not None else None
    if isinstance(source, ProcessSource):
        return source.input.low if source.input.low == source.input.high else 0.0
    return load.rated.voltage.volts if load.rated is not None and load.sort in ("heater", "appliance") else 0.0


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
    limited = load.sort == "heater" and not bears(load)
    limit = heat_limit(build, name, load, part, len(supply.poles)) if limited else ""
    ends = _switched(build, side, name, load, supply, limit=limit)
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


def _switched(
    build: Build, side: MainsSide, name: str, load: Load, supply: Feed, device: str = "", limit: str = ""
) -> list[End]:
    """A branch through a contactor of its own, and that of a heat limit, to terminals; these."""
    title, key = title_of(name, load), contactor_of(build, name, load, len(supply.poles))
    ends = [f"{key}:{2 * n + 1}" for n in range(len(supply.poles))]
    amps = load.rated.current_a if load.rated is not None else 0.0
    side.branch(title, supply, ends, stopped=True, own=device, amps=amps)
    row = build.draft.row("X5", "loads of the process", bridged=())
    found: list[End] = []
    for n, pole in enumerate(supply.poles):
        slot = row.take(title)
        kind = build.type("neutral" if pole == "N" else "line")
        here = f"{key}:{2 * n + 2}"
        if limit:
            build.draft.wire("branches", here, f"{limit}:{2 * n + 1}", kind, f"{title} {pole}")
            here = f"{limit}:{2 * n + 2}"
        build.draft.wire("branches", here, slot, kind, f"{title} {pole}")
        found.append(slot)
    return found


def _motor(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A motor, pump or fan across the line, with a protective switch set to its current."""
    assert load.motor is not None
    model = own_model(load.motor)
    assert isinstance(model, Motor | Pump | Fan)
    title, plate = title_of(name, load), _plate(model)
    supply = side.three() if plate.phases == "3" else side.single(plate.volts)
    if supply is None:
        raise Refused(
            f"{name} is a motor for three phases",
            "the mains has none",
            "Put it on an inverter (`kind: inverter`), or take a motor for this mains.",
            ("loads", name),
        )
    _fitting(name, plate.volts, supply, "motor")
    if plate.amps is None:
        raise Refused(
            f"{name} gives no rated current",
            "its protective switch is set to that",
            "Add `rated_current` from its label.",
            ("loads", name, "motor"),
        )
    draft = build.draft
    motor = draft.name("M")
    more = (
        {"work": work_of(load, model), **run_down(load)}
        if isinstance(model, Motor)
        else {**_run_on(load), **reached(build, name)}
    )
    draft.part("process", motor, part_words(load.motor, title=title, **more), f"takes {plate.amps:.3g} A")
    device = protector(build, title, plate.amps, len(supply.poles), plate.volts)
    ends = _switched(build, side, name, load, supply, device)
    pairs = enumerate(zip(ends, plate.ends, strict=True), 1)
    join: dict[str, tuple[End, End]] = {str(n): (end, f"{motor}:{phase}") for n, (end, phase) in pairs}
    earth = model.earth_terminal()
    _mains_cable(build, title, join, f"{motor}:{earth}" if earth else None, load)
    protector_report(build, device, title)
    build.loads[name] = (motor, "run" if isinstance(model, Motor) else "on")


class _Plate(Struct, frozen=True):
    """What the label of a motor, a pump or a fan says: phases, voltage [V], current [A] and terminals."""

    phases: str
    volts: float
    amps: float | None
    ends: tuple[str, ...]


def _plate(model: Motor | Pump | Fan) -> _Plate:
    earth = model.earth_terminal()
    ends = tuple(one.name for one in model.points() if one.name != earth)
    if isinstance(model, Motor):
        return _Plate(model.phases, model.voltage.volts, model.rated_current, ends[: 3 if model.phases == "3" else 2])
    phases, volts = model.phases if isinstance(model, Pump) else "1", model.rated.voltage.volts
    share = model.power_factor * (sqrt(3.0) if phases == "3" else 1.0)
    amps = model.rated.true_w(model.power_factor) / (volts * share)
    return _Plate(phases, volts, float(f"{amps:.3g}"), ends)


def _source(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A process source in the cabinet, behind the contactors, and what it feeds at the machine."""
    assert load.part is not None
    model = own_model(load.part)
    assert isinstance(model, ProcessSource)
    draft, title, supply = build.draft, title_of(name, load), side.single(made_for(load))
    written = [own_words(load.part, "output"), build.raw("loads", name, "power")]
    rated = build.raw("loads", name, "rated") or " ".join(map(str, written))
    amps = (load.rated or CoilRating.read(rated)).current_a
    if amps > (1.0 - KEPT_FREE) * model.rated * 1.001:
        raise Refused(
            f"{name} takes {amps:.3g} A from its source",
            f"the source is rated {model.rated:g} A, of which {100.0 * KEPT_FREE:g} % are kept free",
            "Take a larger source, or ask for less power.",
            ("loads", name, "rated" if load.rated else "power"),
        )
    if model.output.volts > parse(build.book.rated, "voltage").value:
        raise Refused(
            f"{name} needs conductors and terminals for {model.output.volts:g} V",
            f"those that are taken here are rated {build.book.rated}",
            "Where its high voltage stays in a cable of its own, describe it as an `appliance` with what it takes.",
            ("loads", name, "part"),
        )
    if not stands_at(model.input, supply.volts):
        raise Refused(
            f"the source of {name} is fed with {model.input.low:g} V or more"
            if supply.volts < model.input.low
            else f"the source of {name} is fed with {model.input.high:g} V or less",
            f"the mains gives {supply.volts:.3g} V",
            "Take one for that voltage, or feed it from a transformer by hand.",
            ("loads", name, "part"),
        )
    source = draft.name("G")
    key = contactor_of(build, name, load, len(supply.poles))
    ends = [f"{key}:{2 * n + 1}" for n in range(len(supply.poles))]
    side.branch(title, supply, ends, stopped=True)
    for n, pole in enumerate(supply.poles):
        kind = build.type("neutral" if pole == "N" else "line")
        draft.wire("branches", f"{key}:{2 * n + 2}", f"{source}:{('L', 'N')[n]}", kind, f"{title} {pole}")
    draft.part("process", source, part_words(load.part, title=f"{title} source"), "behind the contactors of the stop")
    draft.earth(f"{source}:PE", build.type("earth-branch"), f"{title} source")
    work = draft.name("E")
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
    """A lamp that the controller lights: on the door, or with a rating of its own at the machine."""
    del side
    title = title_of(name, load)
    start = new_output(build, "other", "" if load.switched == CONTROLLER else load.switched)
    if load.rated is None:
        lamp(build, "lamp-24v-white", title, start)
    else:
        light(build, title, start, build.raw("loads", name, "rated"), load)


_WIRED = {
    "heater": _across_the_line,
    "appliance": _across_the_line,
    "motor": _motor,
    "inverter": inverter,
    "source": _source,
    "valve": valve,
    "lamp": _lamp,
}
