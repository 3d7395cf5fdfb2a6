"""Loads of the process: across the line behind the contactors, each with a contactor that the controller closes."""

from __future__ import annotations

from wiring.describe.build import Build, Refused
from wiring.describe.description import Load
from wiring.describe.draft import End
from wiring.describe.mains import MainsSide, contactor
from wiring.describe.rails import back, power_cable
from wiring.describe.signals import new_output


def process_loads(build: Build, side: MainsSide) -> None:
    """Every load of the description."""
    for name, load in build.description.loads.items():
        _KINDS[load.kind](build, side, name, load)


def _title(name: str, load: Load) -> str:
    return str(load.title or name)


def _heater(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A heater across the line, behind the contactors of the stop and one of its own, which the controller closes."""
    assert load.rated is not None
    draft, title = build.draft, _title(name, load)
    supply = side.single()
    if abs(load.rated.voltage.volts - supply.volts) > 0.1 * supply.volts:
        raise Refused(
            f"{name} is made for {load.rated.voltage.volts:g} V",
            f"the mains gives {supply.volts:.3g} V",
            "Take a heater for that voltage, or feed it from a transformer by hand.",
            ("loads", name, "rated"),
        )
    heater = draft.name("E")
    words = build.raw("loads", name, "rated")
    metal = {"metal": False} if load.metal is False else {}
    draft.part(
        "process",
        heater,
        {"kind": "heater", "title": title, "rated": words, **metal},
        f"takes {load.rated.current_a:.3g} A",
    )
    key = _switch(build, title, len(supply.poles))
    side.branch(title, supply, [f"{key}:{2 * n + 1}" for n in range(len(supply.poles))], stopped=True)
    row = draft.row("X5", "loads of the process", bridged=())
    join: dict[str, tuple[End, End]] = {}
    for n, pole in enumerate(supply.poles):
        slot = row.take()
        kind = build.type("neutral" if pole == "N" else "line")
        draft.wire("branches", f"{key}:{2 * n + 2}", slot, kind, f"{title} {pole}")
        join[str(n + 1)] = (slot, f"{heater}:{n + 1}")
    earth = None if load.metal is False else f"{heater}:PE"
    power_cable(build, title, "load-cable", join, earth, build.cable_m(load.cable), shielded=False)
    build.loads[name] = (heater, {"duty": f"{100 * load.duty:g} %"} if load.duty else "on")


def _switch(build: Build, title: str, poles: int) -> str:
    """A contactor whose coil an output of the controller feeds, for what is behind the contactors of the stop."""
    draft = build.draft
    key = draft.name("K")
    words = {**contactor(build, key, f"{title} on", poles)}
    del words["contacts"]
    draft.part(
        "process",
        key,
        words,
        "the controller closes it and drops it with every stop, so that a reset alone starts nothing",
    )
    draft.wire("switched", new_output(build, "run"), f"{key}:A1", build.type("control"), f"{title} on")
    draft.wire("switched", f"{key}:A2", back(build), build.type("control", back=True), f"{title} on return")
    return key


_KINDS = {"heater": _heater}
