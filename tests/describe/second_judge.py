"""A second judge of plans: plain data, arithmetic and networkx. It knows nothing of sizing, rules or descriptions.

Power of a chopper drive: winding and bridge losses of the set current, shaft and own power (energy balance). Copper at
80 °C has 1.24 times its resistance at 20 °C (0.393 % a kelvin, IEC 60287). What a supply gives, and what a drive takes
beyond that, is read off the same library files as data.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import pairwise
from math import pi, sqrt
from pathlib import Path
from typing import Any

import networkx as nx
import yaml

Plan = dict[str, Any]
LIBRARY = Path(__file__).parents[2] / "wiring" / "parts" / "library"
HOT_COPPER = 1.24
#: No mains have more from a line to the neutral: what is made for more hangs on three lines.
LINE_V = 277.0
UNITS = {
    "A": 1.0,
    "mA": 1e-3,
    "kA": 1e3,
    "V": 1.0,
    "W": 1.0,
    "kW": 1e3,
    "hp": 745.7,
    "VA": 1.0,
    "N·m": 1.0,
    "mN·m": 1e-3,
    "%": 0.01,
    "ohm": 1.0,
    "rpm": 2 * pi / 60,
    "mm2": 1.0,
}
#: Coils, lamps and electronics of the controls that the plan gives with their power.
CONTROL_W_PER_PART = {
    "contactor": 5.4,
    "relay": 0.3,
    "lamp": 0.5,
    "safety-relay": 3.0,
    "controller": 6.0,
    "brake": 12.0,
}
EARTHED = (
    "supply",
    "stepper-drive",
    "servo-drive",
    "inverter",
    "stepper-motor",
    "servo-motor",
    "motor",
    "metalwork",
    "process-source",
)


def si(text: str) -> float:
    """A quantity in SI, its qualifiers left out."""
    found = re.match(r"\s*([\d.e+-]+)\s*([^\s\d]*2?)", text)
    assert found is not None, text
    return float(found[1]) * UNITS[found[2]]


@cache
def library() -> Mapping[str, Plan]:
    """Every generic part by its key; a family stands for every combination of its lists."""
    found: dict[str, Plan] = {}
    for path in LIBRARY.glob("*.yaml"):
        for key, data in yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader).items():
            steps = data.get("steps", [""]) if "{steps}" in key else [""]
            for n, step in enumerate(steps):
                own = {name: values[n] for name, values in data.get("by_step", {}).items()}
                text = {
                    name: value.replace("{steps}", step) if isinstance(value, str) else value
                    for name, value in data.items()
                }
                found[key.replace("{steps}", step)] = {**text, **own}
    return found


def parts_of(plan: Plan) -> dict[str, Plan]:
    """Every part with the data of the library below its own."""
    return {name: {**library().get(data.get("use", ""), {}), **data} for name, data in plan["parts"].items()}


def joins(plan: Plan) -> Iterator[tuple[str, str, str]]:
    """Every conductor: its name and both ends."""
    for wire in plan["wires"]:
        ends = wire.get("through") or [wire["from"], wire["to"]]
        for n, pair in enumerate(pairwise(ends), 1):
            yield (wire["wire"] if len(ends) == 2 else f"{wire['wire']}.{n}"), *pair
    for cable in plan["cables"]:
        for core, (start, end) in cable["join"].items():
            yield f"{cable['cable']}.{core}", start, end


def judged(plan: Plan) -> list[str]:
    """What is wrong with a plan, in words; empty where nothing is."""
    checks = (_numbers, _earths, _feedback, _inverters, _mains, _bonds, _cut_outs)
    return [said for check in checks for said in check(plan)]


def _numbers(plan: Plan) -> Iterator[str]:
    for name, count in Counter(wire["wire"] for wire in plan["wires"]).items():
        if count > 1:
            yield f"wire number {name} stands {count} times"
    ends = Counter(end for _, *pair in joins(plan) for end in pair)
    yield from (f"{end} is used {n} times" for end, n in ends.items() if end.startswith("A1:I") and n > 1)
    bars = Counter(end for _, *pair in joins(plan) for end in pair if end.startswith("XPE:"))
    yield from (f"{end} of the earth bar holds {n} conductors" for end, n in bars.items() if n > 1)


def _earths(plan: Plan) -> Iterator[str]:
    """Every metal part reaches the incoming protective conductor over green-yellow conductors alone."""
    graph = nx.Graph()
    types = {name: data.get("colour", "") for name, data in plan["wire_types"].items()}
    kinds = {wire["wire"]: types[wire["type"]] for wire in plan["wires"]}
    for name, start, end in joins(plan):
        if kinds.get(name.split(".")[0]) == "GNYE" or name.endswith(".GNYE"):
            graph.add_edge(start, end)
    for name, data in parts_of(plan).items():
        if data["kind"] in ("earth-bar", "metalwork"):
            points = [f"{name}:{n}" for n in range(1, int(data.get("points", 1)) + 1)]
            graph.add_edges_from((points[0], other) for other in points[1:])
            graph.add_nodes_from(points)
    for name, data in parts_of(plan).items():
        metal = data["kind"] in EARTHED or (data["kind"] in ("heater", "load") and data.get("metal") != "false")
        if metal and data.get("metal") != "false":
            terminal = f"{name}:1" if data["kind"] == "metalwork" else f"{name}:{(data.get('pe') or ['PE'])[0]}"
            if terminal not in graph or not nx.has_path(graph, terminal, "X0:PE"):
                yield f"{terminal} does not reach the protective earth"


def _feedback(plan: Plan) -> Iterator[str]:
    """Encoders, alarms and fault relays lead somewhere."""
    ends = {end for _, *pair in joins(plan) for end in pair}
    for name, data in parts_of(plan).items():
        wanted = ["EVCC", "EGND", "EA+", "EB+"] if data.get("encoder") and data["kind"].endswith("drive") else []
        pairs = [*(data.get("outputs", []) if data["kind"].endswith("drive") else []), *data.get("sto", [])]
        wanted += [end for pair in pairs for end in re.findall(r"\w+[+-]?(?=-|$)", pair)[:1]]
        wanted += data["relay"].split("-") if data.get("relay") else []
        yield from (f"{name}:{end} is not wired" for end in wanted if f"{name}:{end}" not in ends)


def _inverters(plan: Plan) -> Iterator[str]:
    """The device in front of an inverter bears its input at rated power, P / (eta U pf) for one phase."""
    parts = parts_of(plan)
    volts = si(plan["mains"]["voltage"])
    for name, data in parts.items():
        if data["kind"] != "inverter":
            continue
        three = data.get("phases", "3" if si(data["supply"].split("..")[-1]) > LINE_V else "1") == "3"
        line = (
            volts if three or plan["rulebook"] == "na" or plan["mains"]["system"] == "single-phase" else volts / sqrt(3)
        )
        factor = float(data.get("power_factor", 1.0)) * (sqrt(3) if three else 1.0)  # not given: a lower bound
        motor = next(parts[b.split(":")[0]] for _, a, b in joins(plan) if a == f"{name}:U")
        shaft = min(si(data["rated"]), si(motor["rated_power"]))
        amps = shaft / _efficiency(motor) / si(data.get("efficiency", "100 %")) / (line * factor)
        front = next(a.split(":")[0] for _, a, b in joins(plan) if b in (f"{name}:L", f"{name}:L1"))
        if si(parts[front].get("rating") or parts[front]["setting"]) < 0.98 * amps:
            yield f"{front} of {parts[front]['rating']} is in front of {name}, which takes {amps:.3g} A at rated power"


def _efficiency(motor: Plan) -> float:
    """What it says, or the power at the shaft over that at its terminals, sqrt(3) U I pf of three phases; 0.8 is usual
    of small motors where the label does not say it (common practice, no source)."""
    if "efficiency" in motor:
        return si(motor["efficiency"])
    fed = sqrt(3) * si(motor["voltage"]) * si(motor["rated_current"]) * float(motor.get("power_factor", 0.8))
    return si(motor["rated_power"]) / fed


def _bonds(plan: Plan) -> Iterator[str]:
    """Every rail of direct voltage is earthed at one point."""
    for row in (
        name for name, data in plan["parts"].items() if data.get("title", "").endswith("V return") and name != "X7"
    ):
        bonds = [
            1
            for name, a, b in joins(plan)
            if name.startswith("PE") and a.startswith("XPE:") and b.startswith(f"{row}:")
        ]
        if len(bonds) != 1:
            yield f"{row} is earthed at {len(bonds)} points"


def _cut_outs(plan: Plan) -> Iterator[str]:
    """A heater has one conductor that nothing but its own cut-out opens: by its contact, or by a contactor whose coil
    nothing else feeds. What a process source feeds is none."""
    graph = nx.Graph([pair for _, *pair in joins(plan)])
    parts = parts_of(plan)
    guards = {data["protects"]: name for name, data in parts.items() if data["kind"] == "thermal-cut-out"}

    def joined(end: str) -> set[str]:
        found = nx.node_connected_component(graph, end) - {end}
        return {one for one in found if parts[one.split(":")[0]]["kind"] != "terminals"}

    for name, data in parts.items():
        if data["kind"] != "heater":
            continue
        ends = [joined(f"{name}:{end}") for end in ("1", "2")]
        own = {f"{guards[name]}:{end}" for end in ("11", "12")} if name in guards else set()
        coils = [one for one, data in parts.items() if data["kind"] == "contactor" and joined(f"{one}:A1") <= own]
        poles = {f"{one}:{n}" for one in coils for n in range(1, 9)}
        if any(parts[one.split(":")[0]]["kind"] == "process-source" for there in ends for one in there):
            continue
        if not own or not any(there and (there <= own or there <= poles) for there in ends):
            yield f"{name} has no cut-out in its conductor"


def _mains(plan: Plan) -> Iterator[str]:
    """The power of every state against the device of the building, at unity share of the phases."""
    upstream = si(plan["mains"]["upstream"]["rating"])
    volts = si(plan["mains"]["voltage"])
    lines = {"single-phase": 1.0, "split-phase": 1.0, "three-phase": sqrt(3)}[plan["mains"]["system"]]
    for state in plan["states"]:
        amps = state_va(plan, state) / (volts * lines)
        if amps > upstream * 1.02:
            yield f"state {state} takes {amps:.3g} A in all, and the building gives {upstream:.3g} A"


def state_va(plan: Plan, state: str) -> float:
    """Apparent power of a state [VA], a lower bound: power factors of rectifiers that add up count as 1."""
    parts, entries = parts_of(plan), plan["states"][state]
    drives = {b.split(":")[0]: parts[a.split(":")[0]] for _, a, b in joins(plan) if re.fullmatch(r"M\d+:(A\+|U)", b)}
    watts = 0.0
    for name, entry in entries.items():
        data, kind = parts[name], parts[name]["kind"]
        duty = si(entry["duty"]) if isinstance(entry, dict) and "duty" in entry else 1.0
        if entry == "off" or (isinstance(entry, dict) and not entry):
            continue
        if kind == "stepper-motor":
            watts += _stepper(data, drives[name], entry) / 0.9
        elif kind == "servo-motor" and isinstance(entry, dict):
            watts += si(entry["torque"]) * si(entry["speed"]) * duty / 0.8
        elif kind in ("heater", "load"):
            watts += si(" ".join(data["rated"].split()[-2:])) * duty
        elif kind == "motor":
            watts += si(data["work"]["power"]) / si(data.get("efficiency", "100 %"))
    return watts


def _stepper(motor: Plan, drive: Plan, entry: Any) -> float:
    """Power that a stepper axis takes [W], at its duty; held, at its hold current. What is left out counts as 0."""
    peak = si(drive["phase_current"])
    ohm = si(motor["phase_resistance"]) * HOT_COPPER + si(drive.get("bridge_resistance", "0 ohm"))
    hold = (si(drive.get("hold_current", "0 %")) * peak) ** 2 * ohm + si(drive.get("quiescent", "0 W"))
    if not isinstance(entry, dict):
        return hold
    duty = si(entry["duty"])
    moving = peak**2 * ohm + si(drive.get("quiescent", "0 W")) + si(entry["torque"]) * si(entry["speed"])
    return duty * moving + (1.0 - duty) * hold
