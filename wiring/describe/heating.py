"""What keeps a heater from burning: a cut-out in its own conductor, and thermostat and level switch before its coil."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.describe.build import Build, Consumer
from wiring.describe.description import Load
from wiring.describe.draft import CableEntry, End
from wiring.describe.inverters import title_of
from wiring.describe.signals import field_row

#: What a cut-out of the class carries [A] and up to which voltage (typical; common practice, no source).
_CUT_OUT = {"AC": (16.0, 250.0), "DC": (10.0, 30.0)}
#: Above this a device in front of a heater on the mains asks for conductors that no cut-out takes [A] (own choice).
_THIN_A = 12.0
_COIL_CONTACT = "DC-13 1 A 24 V"


def _poles(build: Build) -> int:
    """How many conductors of a heater are opened: both where the plug may be turned, for either is the line then."""
    return 2 if build.description.mains.connection == "reversible plug" else 1


def bears(load: Load) -> bool:
    """Whether a cut-out carries and opens the current of a heater itself."""
    assert load.rated is not None
    most_a, most_v = _CUT_OUT[load.rated.voltage.kind]
    most_a = min(most_a, _THIN_A)
    return load.rated.current_a <= most_a and load.rated.voltage.volts <= most_v


def cut_out(build: Build, name: str, load: Load, heater: str, ends: Sequence[End]) -> dict[str, tuple[End, End]]:
    """The thermal cut-out that opens the conductor of a heater itself: a welded contactor leaves it able to.

    Gives the cores from `ends` through it to the heater; past it where it opens a contactor of its own in their stead.
    """
    assert load.rated is not None
    kind = load.rated.voltage.kind
    poles = (_poles(build) if kind == "AC" else 1) if bears(load) else 0
    guard = ""
    if poles:
        most_a, most_v = _CUT_OUT[kind]
        why = "opens the conductor itself: neither a welded contactor nor a stuck output keeps the heat on"
        more: dict[str, object] = {"rated": f"{most_a:g} A", "rated_voltage": f"{most_v:g} V {kind}"}
        more["sizes"] = "0.75..6 mm2" if build.rulebook == "iec" else "18..10 AWG"
        guard = _guard(build, name, load, heater, poles, more, why)
    pairs: list[tuple[End, End]] = []
    for n, end in enumerate(ends, 1):
        through = [f"{guard}:{n}1", f"{guard}:{n}2"] if n <= poles else []
        way: list[End] = [end, *through, f"{heater}:{n}"]
        pairs += zip(way[::2], way[1::2], strict=True)
    return {str(n): pair for n, pair in enumerate(pairs, 1)}


def _guard(build: Build, name: str, load: Load, heater: str, poles: int, more: dict[str, object], why: str) -> str:
    data = {
        "kind": "thermal-cut-out",
        "title": f"{title_of(name, load)} too hot",
        "contacts": {f"{n}1-{n}2": "NC" for n in range(1, poles + 1)},
        **more,
        "opens_at": build.raw("loads", name, "cut_out"),
        "reset": "manual",
        "protects": heater,
    }
    return build.draft.part("process", build.draft.name("F"), data, why)


def limit_coil(build: Build, name: str, load: Load, heater: str, coil: str) -> None:
    """The cut-out of a heater that takes more than its contact carries, in front of a coil behind the stop relay."""
    title = f"{title_of(name, load)} heat limit"
    why = "opens a contactor of its own: that of the control may weld"
    guard = _guard(build, name, load, heater, 1, _coil_data(build), why)
    row = field_row(build)
    before, after = row.take("process"), row.take("process")
    build.channels[0].append(Consumer(before, title))
    _switch_cable(build, f"{title} switch", load, [before, f"{guard}:11", f"{guard}:12", after])
    build.draft.wire("switched", after, coil, build.type("control"), title)


def coil_contacts(build: Build, name: str, title: str, load: Load, start: End) -> End:
    """Where the coil of a heater is fed from: `start`, or behind the level switch and the thermostat that it has."""
    if load.sort != "heater" or not (load.liquid or load.keeps is not None):
        return start
    ends: list[str] = []
    if load.liquid:
        level = _switch(build, "float-switch", f"{title} covered", {"13-14": "NO"}, {}, "dry, the heater burns")
        build.worked.append(level)
        ends += [f"{level}:13", f"{level}:14"]
    if load.keeps is not None:
        more = {"switches_at": build.raw("loads", name, "keeps"), "purpose": "heating"}
        why = "keeps the temperature; a program that hangs does not overheat it"
        thermostat = _switch(build, "thermostat", f"{title} temperature", {"1-2": "NC"}, more, why)
        ends += [f"{thermostat}:1", f"{thermostat}:2"]
    row = field_row(build)
    before, after = row.take("process"), row.take("process")
    build.draft.wire("switched", start, before, build.type("control"), f"{title} on")
    path: list[End] = [before, *ends, after]
    _switch_cable(build, f"{title} switches", load, path)
    return after


def _switch_cable(build: Build, title: str, load: Load, path: Sequence[End]) -> None:
    """A cable whose cores lead from one to the next of each two ends."""
    join = {str(n): pair for n, pair in enumerate(zip(path[::2], path[1::2], strict=True), 1)}
    kind, route = build.type("stop-cable"), build.route("field-signals")
    length = build.length(build.cable_m(load.cable))
    build.draft.cables.append(CableEntry(title, kind, length, route, join))


def _coil_data(build: Build) -> dict[str, object]:
    """The contact of a switch at the machine that works a coil."""
    sizes = "0.5..2.5 mm2" if build.rulebook == "iec" else "20..14 AWG"
    return {"rated": "3 A", "rated_voltage": "250 V AC", "contact_rating": _COIL_CONTACT, "sizes": sizes}


def _switch(build: Build, kind: str, title: str, contacts: dict[str, str], more: dict[str, object], why: str) -> str:
    data = {"kind": kind, "title": title, "at": "machine", "contacts": contacts, **more, **_coil_data(build)}
    return build.draft.part("process", build.draft.name("B"), data, why)
