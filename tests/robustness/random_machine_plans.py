"""Random plans that are well formed more often than not: real parts with odd values, wired terminal to terminal.

Parts come from the specs, from the generic library and from the kinds themselves; every plan follows from its number.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

from plain_plans import Plan, parsed

from wiring.parts.library_index import packaged_index
from wiring.parts.resolve import resolve_parts
from wiring.plan.read import read_text

SPECS = Path(__file__).parents[2] / "specs"
MOST_PARTS = 15
_NUMBER = re.compile(r"\d+\.?\d*(?= ?[A-Za-z°%])")
#: What a number is replaced by, now and then.
_ODD = ("0", "-1", "1e-9", "0.001", "1000000", "1e300", "1e-300", "99999", "0.5", "2")
_WORDS = ("NO", "", "x" * 300, "\u202e", "=1+1", "PE", "N", "true", "[]", "null", "24 V DC", "DC", "AC")
_SYSTEMS: tuple[Mapping[str, Any] | None, ...] = (
    None,
    {"inlet": "X0", "system": "single-phase", "voltage": "230 V"},
    {"inlet": "X0", "system": "single-phase", "voltage": "230 V", "frequency": "50 Hz", "earthing": "TN-S",
     "fault_current": "1 kA", "upstream": {"kind": "breaker", "rating": "16 A", "curve": "B"}},
    {"inlet": "X0", "system": "three-phase", "voltage": "400 V", "fault_current": "6 kA", "earthing": "TT",
     "upstream": {"kind": "fuse", "rating": "35 A", "class": "gG"}},
    {"inlet": "X0", "system": "split-phase", "voltage": "240 V", "fault_current": "5 kA"},
    {"inlet": "X0", "system": "three-phase", "voltage": "400 V", "earthing": "IT"},
)  # fmt: skip
_INLETS = (["L", "N", "PE"], ["L1", "L2", "L3", "N", "PE"], ["L1", "L2", "N", "PE"], ["L1", "L2", "L3", "PE"])


@cache
def spec_parts() -> tuple[tuple[str, Plan], ...]:
    """Every part of every spec under its name."""
    plans = [parsed(path.read_text("utf-8")) for path in sorted(SPECS.glob("*.yaml"))]
    return tuple((name, entry) for plan in plans for name, entry in plan["parts"].items())


def _odd(random: Random, value: Any, often: float) -> Any:
    """The value with a number or a word in it replaced here and there."""
    if isinstance(value, dict):
        kept = {key: _odd(random, item, often) for key, item in value.items()}
        if kept and random.random() < often / 2:
            kept.pop(random.choice(list(kept)))
        return kept
    if isinstance(value, list):
        return [_odd(random, item, often) for item in value]
    if isinstance(value, str) and random.random() < often:
        if _NUMBER.search(value):
            return _NUMBER.sub(lambda _: random.choice(_ODD), value, count=1)
        return random.choice(_WORDS) if random.random() < 0.2 else value
    return value


def _parts(random: Random) -> Plan:
    parts: Plan = {"X0": {"kind": "inlet", "poles": random.choice(_INLETS)}}
    often = random.choice((0.0, 0.0, 0.02, 0.1))
    for n in range(random.randint(1, MOST_PARTS - 1)):
        if random.random() < 0.35:
            key = random.choice(sorted(packaged_index()))
            parts[f"P{n}"] = {"use": key} | ({"phase_current": "3 A peak"} if "stepper" in key else {})
        else:
            name, entry = random.choice(spec_parts())
            parts[f"{name}_{n}"] = _odd(random, deepcopy(entry), often)
    return parts


def _terminals(head: Plan, parts: Plan) -> list[str]:
    from plain_plans import written

    reading = read_text(written({**head, "parts": parts}), "plan.yaml", SPECS)
    found = resolve_parts(reading, [])
    return [f"{name}:{terminal}" for name, part in found.items() for terminal in part.terminals]


def _wires(random: Random, terminals: list[str]) -> list[Plan]:
    wires: list[Plan] = []
    typed = {"size": "1.5 mm2", "length": "1 m", "insulation": "pvc-70", "colour": "BK"}
    for n in range(random.randint(0, 2 * len(terminals))):
        a, b, c = (random.choice(terminals) for _ in range(3))
        wire: Plan = {"wire": str(n)}
        if random.random() < 0.1:
            wire["through"] = [a, b, c]
        elif wires and random.random() < 0.1 and "from" in wires[-1]:
            wire |= {"from": wires[-1]["from"], "to": wires[-1]["to"]}  # in parallel
        else:
            wire |= {"from": a, "to": b}
        if random.random() < 0.8:
            wire |= {key: value for key, value in typed.items() if random.random() < 0.85}
            wire["size"] = random.choice(("0.14 mm2", "1.5 mm2", "10 mm2", "16 AWG", "300 mm2"))
        if random.random() < 0.1:
            wire["route"] = random.choice(("R1", "R2"))
        wires.append(wire)
    return wires


def _cables(random: Random, terminals: list[str]) -> list[Plan]:
    cables: list[Plan] = []
    for n in range(random.randint(0, 3)):
        cores = random.randint(2, 5)
        join = {str(core): [random.choice(terminals), random.choice(terminals)] for core in range(1, cores + 1)}
        cable: Plan = {"cable": f"C{n}", "cores": str(cores), "size": "1 mm2", "length": "3 m", "join": join}
        if random.random() < 0.5:
            cable["shield"] = {"ends": random.sample(terminals, min(len(terminals), random.randint(0, 2)))}
        cables.append(cable)
    return cables


def _mode(random: Random, part: Plan) -> Any:
    """What a state says of a part; now and then what the part cannot do, which is a fault of the plan."""
    moves = "motor" in str(part.get("kind", part.get("use"))) or random.random() < 0.05
    return random.choice(
        ("run", "hold", "off", "on", {"speed": "-600 rpm", "torque": "1 N·m"}) if moves else ("on", "off")
    )


def random_plan(number: int) -> Plan:
    """The plan of that number as plain data."""
    random = Random(number)
    head: Plan = {"format": "1", "machine": "Random", "rulebook": random.choice(("iec", "na"))}
    mains = random.choice(_SYSTEMS)
    if mains is not None:
        head["mains"] = dict(mains)
    if random.random() < 0.5:
        head["site"] = {"ambient": random.choice(("35 °C", "60 °C", "-20 °C"))}
        head["enclosure"] = {"size": "500 x 500 x 210 mm", "material": "painted-steel", "mounting": "wall"}
    parts = _parts(random)
    terminals = _terminals(head, parts)
    plan: Plan = {**head, "parts": parts, "wires": _wires(random, terminals) if terminals else []}
    if terminals and random.random() < 0.5:
        plan["cables"] = _cables(random, terminals)
    plan["routes"] = {"R1": {"kind": "duct", "size": "40 x 60 mm"}, "R2": {"kind": "open"}}
    names = list(parts)
    if random.random() < 0.4:
        plan["states"] = {
            f"state{n}": {name: _mode(random, parts[name]) for name in random.sample(names, min(2, len(names)))}
            for n in range(random.randint(1, 2))
        }
    if random.random() < 0.5:
        plan["stops"] = {"emergency": {"devices": random.sample(names, 1), "category": random.choice("012")}}
    return plan
