"""Loads for direct voltage: on a supply of their own behind the contactors of the stop, or on the battery."""

from __future__ import annotations

from msgspec import Struct

from wiring.describe.build import Build, own_model, part_words
from wiring.describe.contactors import contactor_of, heat_limit, self_holding
from wiring.describe.description import Description, Load
from wiring.describe.draft import End, Slot
from wiring.describe.drive_wiring import power_cable
from wiring.describe.feeds import back, fuse
from wiring.describe.heating import bears, cut_out
from wiring.describe.inverters import on_words, reached, run_down, title_of, work_of
from wiring.describe.mains import MainsSide
from wiring.describe.protectors import protector, protector_report
from wiring.describe.rails import begin_rail, earth_rail
from wiring.parts.base import PartModel
from wiring.parts.loads import Fan, Pump
from wiring.parts.motors import Motor
from wiring.rulebooks.limits import tabled

#: Up to these voltages one pole of a contactor breaks direct current, and two in series (common practice, no source).
_ONE_POLE_V, _TWO_POLES_V = 30.0, 60.0
#: A motor up to this power needs no device that opens on overload under the IEC book [W].
_UNGUARDED_W = 1000.0 * tabled("iec", "motor_overheat_protection_above").value


class Direct(Struct, frozen=True):
    """A load for direct voltage [V], with what it takes [A]; its model where it is a machine of its own."""

    volts: float
    amps: float
    model: PartModel | None = None


def direct_of(load: Load) -> Direct | None:
    """A load for direct voltage, other than valves and lamps, which the controls feed; None for any other."""
    if load.sort == "motor":
        model = own_model(load.motor) if load.motor is not None else None
        if isinstance(model, Motor) and model.phases == "DC":
            volts = model.voltage.volts
            return Direct(volts, model.rated_current or model.rated_power / model.loaded_efficiency / volts, model)
        rated = model.rated if isinstance(model, Pump | Fan) else None
        return Direct(rated.voltage.volts, rated.current_a, model) if rated and rated.voltage.kind == "DC" else None
    if load.sort in ("heater", "appliance") and load.rated is not None and load.rated.voltage.kind == "DC":
        return Direct(load.rated.voltage.volts, load.rated.current_a)
    return None


def direct_loads(description: Description) -> dict[str, Direct]:
    """All of them by name."""
    found = {name: direct_of(load) for name, load in description.loads.items()}
    return {name: one for name, one in found.items() if one is not None}


def direct_rails(build: Build, side: MainsSide) -> None:
    """A supply for each voltage that loads are made for: a stop takes it away, so the controls do not hang on it."""
    for volts in sorted({one.volts for one in direct_loads(build.description).values()}):
        title, why = f"process {volts:g} V", "behind the contactors, so that a stop takes it away"
        build.rails[volts] = begin_rail(build, side, volts, f"{title} supply", f"{title} return", why)
        earth_rail(build, volts, build.rails[volts][1])


def direct_load(build: Build, name: str, load: Load, direct: Direct) -> None:
    """A load for direct voltage behind a fuse and a contactor of its own."""
    draft, title = build.draft, title_of(name, load)
    device = fuse(build, title, "fuses of the drives", "6 A", quick=True)
    trunk, _ = build.rails.get(direct.volts, (build.motion, None))
    trunk.append(f"{device}:1")
    poles = 1 if direct.volts <= _ONE_POLE_V else 2 if direct.volts <= _TWO_POLES_V else 3
    part, ends, earth = _part(build, name, load, direct)
    devices = [*_protectors(build, title, poles, direct)]
    if build.description.battery is not None:
        devices.append(self_holding(build, name, title, direct.amps))
    else:
        devices.append(contactor_of(build, name, load, poles, direct=direct.amps))
    if load.sort == "heater" and not bears(load):
        devices.append(heat_limit(build, name, load, part, poles, direct=direct.amps))
    here = f"{device}:2"
    for pole in [f"{one}:{2 * n + 1}" for one in devices for n in range(poles)]:
        draft.wire("rail", here, pole, build.type("motor"), title)
        here = pole[:-1] + str(int(pole[-1]) + 1)
    slot = draft.row("X12", "direct voltage of the process", bridged=()).take(title)
    draft.wire("rail", here, slot, build.type("motor"), title)
    join: dict[str, tuple[End, End]] = {"1": (slot, f"{part}:{ends[0]}")}
    if load.sort == "heater":
        join = cut_out(build, name, load, part, [slot])
    join[str(len(join) + 1)] = (_return(build, direct.volts), f"{part}:{ends[1]}")
    power_cable(build, title, "load-cable", join, earth, build.cable_m(load.cable), shielded=False)


def _protectors(build: Build, title: str, poles: int, direct: Direct) -> tuple[str, ...]:
    """A protective switch in front of a motor that must have one: above 0.5 kW, in North America always."""
    motor = direct.model
    if not isinstance(motor, Motor) or (build.rulebook == "iec" and motor.rated_power <= _UNGUARDED_W):
        return ()
    device = protector(build, title, direct.amps, poles, direct.volts, direct=True)
    protector_report(build, device, title)
    return (device,)


def _part(build: Build, name: str, load: Load, direct: Direct) -> tuple[str, tuple[str, str], End | None]:
    """The load itself: its name, its terminals from plus to minus, and where it is earthed."""
    draft, title = build.draft, title_of(name, load)
    why = f"takes {direct.amps:.3g} A"
    if direct.model is None:
        part = draft.name("E")
        data: dict[str, object] = {"kind": "heater" if load.sort == "heater" else "load", "title": title}
        data |= {"at": "machine", "rated": build.raw("loads", name, "rated"), "metal": load.metal is not False}
        draft.part("process", part, data | ({} if load.sort == "heater" else {"hazardous": True}), why)
        build.loads[name] = (part, on_words(load))
        return part, ("1", "2"), None if load.metal is False else f"{part}:PE"
    assert load.motor is not None
    part = draft.name("M")
    model = direct.model
    words = {"work": work_of(load, model), **run_down(load)} if isinstance(model, Motor) else reached(build, name)
    draft.part("process", part, part_words(load.motor, title=title, **words), why)
    build.loads[name] = (part, "run" if isinstance(model, Motor) else "on")
    plus, minus = [one.name for one in model.points()][:2]
    earth = model.earth_terminal()
    return part, (plus, minus), f"{part}:{earth}" if earth else None


def _return(build: Build, volts: float) -> Slot:
    _, row = build.rails.get(volts, (None, None))
    return row.take() if row is not None else back(build)
