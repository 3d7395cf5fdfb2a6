"""A plan under other names and in another order: parts, wires and cables renamed, every section shuffled."""

from __future__ import annotations

import re
from collections.abc import Mapping
from random import Random
from typing import Any

from plain_plans import Plan

_LETTER = re.compile(r"[A-Z]+")


def renamed(plan: Plan, seed: int) -> tuple[Plan, dict[str, str]]:
    """The plan with every part, wire and cable under another name of the same letter, and the names by the old ones.

    The letter stays, as it tells what a part is (IEC 81346-2) and a note may ask for it; the numbers are dealt anew.
    """
    random = Random(seed)
    names = _dealt([*plan["parts"]], random)
    wires = {wire["wire"]: f"{900 + n}" for n, wire in enumerate(random.sample(plan["wires"], len(plan["wires"])))}
    cables = {
        c["cable"]: f"W{800 + n}"
        for n, c in enumerate(random.sample(plan.get("cables", []), len(plan.get("cables", []))))
    }
    return _shuffled(_with(plan, {**wires, **cables, **names}, names, wires, cables), random), {
        **names,
        **wires,
        **cables,
    }


def _dealt(old: list[str], random: Random) -> dict[str, str]:
    groups: dict[str, list[str]] = {}
    for name in old:
        groups.setdefault(match.group() if (match := _LETTER.match(name)) else name, []).append(name)
    found = {}
    for letter, members in groups.items():
        numbers = random.sample(range(30, 30 + 2 * len(members)), len(members))
        found |= {name: f"{letter}{number}" for name, number in zip(members, numbers, strict=True)}
    return found


def _with(
    plan: Plan, every: Mapping[str, str], parts: Mapping[str, str], wires: Mapping[str, str], cables: Mapping[str, str]
) -> Plan:
    """Every place that names a part, a wire or a cable with the new name."""

    def end(text: str) -> str:
        part, colon, terminal = text.partition(":")
        return f"{parts.get(part, part)}{colon}{terminal}"

    def listed(value: Any) -> Any:
        return [parts.get(one, one) for one in value] if isinstance(value, list) else parts.get(value, value)

    def subject(text: str) -> str:
        head, dot, rest = text.partition(".")
        return every.get(text) or (f"{every[head]}{dot}{rest}" if head in every else text)

    changed = dict(plan)
    changed["parts"] = {
        parts[name]: {
            key: listed(value) if key in ("holds", "protects", "bolted_to", "drives") else value
            for key, value in entry.items()
        }
        for name, entry in plan["parts"].items()
    }
    changed["wires"] = [
        {
            key: wires[value] if key == "wire" else end(value) if key in ("from", "to") else value
            for key, value in wire.items()
        }
        for wire in plan["wires"]
    ]
    changed["cables"] = [_cable(cable, cables, end) for cable in plan.get("cables", ())]
    if "mains" in plan:
        changed["mains"] = {**plan["mains"], "inlet": parts[plan["mains"]["inlet"]]}
    changed["states"] = {
        state: {parts.get(name, name): entry for name, entry in entries.items()}
        for state, entries in plan.get("states", {}).items()
    }
    changed["stops"] = {
        name: {key: listed(value) if key in ("devices", "reset", "removes") else value for key, value in stop.items()}
        for name, stop in plan.get("stops", {}).items()
    }
    changed["accepted"] = [
        {
            **one,
            "part": [subject(name) for name in one["part"]]
            if isinstance(one.get("part"), list)
            else subject(one.get("part", "")),
        }
        for one in plan.get("accepted", ())
    ]
    return changed


def _cable(cable: Plan, cables: Mapping[str, str], end: Any) -> Plan:
    changed = {**cable, "cable": cables[cable["cable"]]}
    changed["join"] = {core: [end(one) for one in pair] for core, pair in cable["join"].items()}
    if ends := (cable.get("shield") or {}).get("ends"):
        changed["shield"] = {**cable["shield"], "ends": [end(one) for one in ends]}
    return changed


def _shuffled(plan: Plan, random: Random) -> Plan:
    changed: Plan = {}
    for key in random.sample(list(plan), len(plan)):
        value = plan[key]
        if key in ("parts", "stops", "routes", "wire_types"):
            value = {name: value[name] for name in random.sample(list(value), len(value))}
        elif key in ("wires", "cables", "accepted"):
            value = random.sample(value, len(value))
        changed[key] = value
    return changed
