"""Random descriptions of machines, drawn by a seed from what the trade builds. Nothing of sizes is looked up here."""

from __future__ import annotations

from random import Random
from typing import Any

import yaml

STEPPERS = (
    ("motor-frame-17-0.4nm", 0.4),
    ("motor-frame-17-0.6nm", 0.6),
    ("motor-frame-23-1.2nm", 1.2),
    ("motor-frame-23-2.2nm", 2.2),
    ("motor-frame-23-3nm", 3.0),
    ("motor-frame-24-3nm", 3.0),
    ("motor-frame-24-4nm", 4.0),
    ("motor-frame-34-4.5nm", 4.5),
    ("motor-frame-34-8.5nm", 8.5),
)
SERVOS = (
    ("servo-motor-230v-100w", 0.32),
    ("servo-motor-230v-200w", 0.64),
    ("servo-motor-230v-400w", 1.27),
    ("servo-motor-230v-750w", 2.39),
)
RAIL_SERVOS = (("servo-motor-48v-200w", 0.64), ("servo-motor-48v-400w", 1.27))
MAINS = (
    ("iec", "single-phase", 230, 50),
    ("iec", "single-phase", 230, 50),
    ("iec", "three-phase", 400, 50),
    ("na", "single-phase", 120, 60),
    ("na", "split-phase", 240, 60),
    ("na", "three-phase", 208, 60),
)
SPINDLES = {
    230: ("spindle-220v-0.8kw", "spindle-220v-1.5kw", "spindle-220v-2.2kw"),
    400: ("spindle-380v-2.2kw", "spindle-380v-4kw"),
}
WORKS = ("Sorter", "Slitter", "Router", "Dipper", "Winder", "Sander", "Feeder", "Stacker", "Former", "Washer")


def machine(seed: int) -> dict[str, Any]:
    """The description of that seed as plain data."""
    draw = Random(seed)
    rulebook, system, volts, hertz = draw.choice(MAINS)
    amps = (
        draw.choice((16, 16, 20, 25, 32))
        if system == "three-phase" or rulebook == "iec"
        else draw.choice((15, 20, 20, 30))
    )
    text: dict[str, Any] = {"format": "1", "describe": f"{draw.choice(WORKS)} {seed}", "rulebook": rulebook}
    text["site"] = {"ambient": f"{draw.choice((25, 30, 35, 40))} °C", "altitude": "200 m"}
    text["mains"] = {
        "system": system,
        "voltage": f"{volts} V",
        "frequency": f"{hertz} Hz",
        "earthing": "TN-S",
        "fault_current": f"{draw.choice((0.5, 1, 2, 3))} kA",
        "upstream": {"kind": "breaker", "rating": f"{amps} A", "curve": draw.choice("BCC")},
        "connection": "fixed",
        "shared": "false",
        "rcd": "none",
    }
    size = draw.choice(("600 x 600 x 250 mm", "600 x 800 x 250 mm", "800 x 1000 x 300 mm"))
    text["cabinet"] = {
        "size": size,
        "material": "painted-steel",
        "mounting": "wall",
        "protection": draw.choice(("IP54", "IP54", "type 12")),
    }
    text["cabinet"]["opens"] = "tool"
    text["cabinet"]["distance"] = f"{draw.randint(2, 10)} m"
    text["axes"] = _axes(draw, volts)
    text["loads"] = _loads(draw, volts, system)
    if not text["loads"]:
        del text["loads"]
    text["stops"] = _stops(draw)
    text["operators"] = {
        "start": "true",
        "hold": draw.choice(("true", "false")),
        "pedal": draw.choice(("true", "false", "false")),
    }
    text["operators"]["lamps"] = draw.choice((["control", "live"], ["control", "live", "running"], ["live"]))
    text["runs"] = {"work": [*text["axes"], *text.get("loads", {})]}
    return text


def _axes(draw: Random, volts: int) -> dict[str, Any]:
    """One to four axes; a later one is often like the first."""
    kinds = ["stepper", "stepper", "stepper", "closed"] + (["servo", "servo"] if volts != 120 else []) + ["rail servo"]
    kind = draw.choice(kinds)
    found: dict[str, Any] = {}
    for name in "XYZA"[: draw.randint(1, 4)]:
        if found and draw.random() < 0.4:
            found[name] = {"like": "X", "title": f"axis {name}", "mass": f"{draw.randint(2, 20)} kg"}
            continue
        pool = {"servo": SERVOS, "rail servo": RAIL_SERVOS}.get(kind, STEPPERS)
        found[name] = _axis(draw, name, *draw.choice(pool), servo="servo" in kind, closed=kind == "closed")
    return found


def _axis(draw: Random, name: str, motor: str, torque: float, *, servo: bool, closed: bool) -> dict[str, Any]:
    lead_mm = draw.choice((4, 5, 10, 16))
    share = draw.uniform(0.1, 0.5)
    force = share * torque * 2 * 3.1416 * 0.5 / (lead_mm / 1000)
    turns = draw.choice((1000, 1500, 2000)) if servo else draw.choice((150, 240, 300, 400))
    speed = turns * lead_mm / 1000
    axis: dict[str, Any] = {
        "title": f"axis {name}",
        "motor": motor,
        "mass": f"{draw.randint(2, 15)} kg",
        "screw": f"{lead_mm} mm",
    }
    axis |= {
        "speed": f"{speed:.3g} m/min",
        "rapid": f"{speed * draw.choice((1, 1.5, 2)):.3g} m/min",
        "force": f"{force:.3g} N",
    }
    axis |= {"home": draw.choice(("true", "false")), "limits": str(draw.randint(0, 2))}
    if closed:
        axis["closed_loop"] = "true"
    if name == "Z" and draw.random() < 0.6:
        axis["vertical"] = draw.choice(("brake", "self-locking"))
        axis["mass"] = "3 kg"
    if draw.random() < 0.15:
        axis["count"] = "2"
    return axis


def _loads(draw: Random, volts: int, system: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    single = {400: 230}.get(volts, volts)
    for _ in range(draw.choice((0, 1, 1, 2))):
        kind = draw.choice(("heater", "heater", "inverter", "appliance", "valve", "motor", "source"))
        if kind in ("heater", "appliance"):
            found[f"{kind}"] = {"kind": kind, "rated": f"{single} V AC {draw.choice((100, 250, 500, 900, 1500))} W"}
            if kind == "heater":
                found[kind] |= {"liquid": draw.choice(("true", "false", "false")), "cut_out": "110 °C"}
                found[kind] |= {"keeps": "70 °C"} if draw.random() < 0.5 else {}
        elif kind == "inverter" and volts != 120:
            spindle = draw.choice(SPINDLES[400 if volts == 400 else 230])
            found["spindle"] = {
                "kind": "inverter",
                "motor": spindle,
                "power": f"{draw.choice((0.3, 0.5, 0.7))} kW",
                "coasts": "6 s",
            }
        elif kind == "valve":
            found["valve"] = {"kind": "valve", "rated": f"24 V DC {draw.choice((1.5, 5, 10))} W"}
        elif kind == "motor" and system == "three-phase":
            data = {
                "kind": "motor",
                "voltage": f"{volts} V AC",
                "phases": "3",
                "rated_power": "250 W",
                "rated_current": "1.0 A" if volts == 400 else "1.5 A",
            }
            found["pump"] = {
                "kind": "motor",
                "motor": {**data, "efficiency": "70 %", "power_factor": "0.75", "start_factor": "6"},
            }
        elif kind == "source" and volts not in (120, 400):
            part = {"use": "hot-wire-source-36v-8a", "isolated": "true"}
            found["wire"] = {"kind": "source", "part": part, "rated": "36 V DC 180 W", "metal": "false"}
    return found


def _stops(draw: Random) -> dict[str, Any]:
    stops: dict[str, Any] = {"buttons": draw.choice((["door"], ["door", "machine"], ["machine"]))}
    if draw.random() < 0.5:
        stops["guards"] = {"hood": {"lock": draw.choice(("true", "false"))}}
    return stops


class _Dumper(yaml.SafeDumper):
    """Every scalar as it stands."""


_Dumper.yaml_implicit_resolvers = {}


def description(seed: int) -> str:
    """The description of that seed as YAML."""
    return yaml.dump(
        machine(seed), Dumper=_Dumper, sort_keys=False, allow_unicode=True, default_flow_style=None, width=120
    )
