"""A clean plan as plain data that a break can edit: places in it are paths, and library parts are spelled out."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from plain_plans import Plan, parsed

from wiring.parts.library_index import packaged_entry

ROOT = Path(__file__).parents[2]
Spot = tuple[str | int, ...]


class Ref(NamedTuple):
    """One end of a conductor: where it stands in the plan, of which conductor, and the terminal that it names."""

    spot: Spot
    conductor: str
    part: str
    terminal: str

    @property
    def text(self) -> str:
        return f"{self.part}:{self.terminal}"


@dataclass(frozen=True)
class Machine:
    """One clean plan: `plan` as written, `parts` with the library put in."""

    name: str
    plan: Plan
    parts: dict[str, Plan]

    def of_kind(self, *kinds: str) -> Iterator[tuple[str, Plan]]:
        """Id and data of the parts of these kinds."""
        return ((id_, part) for id_, part in self.parts.items() if part["kind"] in kinds)

    def with_key(self, key: str) -> Iterator[tuple[str, Plan]]:
        """Id and data of the parts that state a key."""
        return ((id_, part) for id_, part in self.parts.items() if key in part)

    def kind(self, id_: str) -> str:
        return str(self.parts[id_]["kind"])

    def wires(self) -> Iterator[tuple[int, Plan]]:
        return enumerate(self.plan["wires"])

    def cables(self) -> Iterator[tuple[int, Plan]]:
        return enumerate(self.plan["cables"])

    def refs(self) -> list[Ref]:
        """Every end of every wire and core."""
        return list(refs(self.plan))

    def at(self, part: str, terminal: str) -> list[Ref]:
        """The ends that land on a terminal."""
        return [ref for ref in self.refs() if (ref.part, ref.terminal) == (part, terminal)]

    def bridged(self, part: str, terminal: str) -> frozenset[str]:
        """The points of a terminal block that are one potential with this one."""
        for group in self.parts[part].get("bridged", ()):
            low, high = (int(n) for n in group.split("-"))
            if low <= int(terminal) <= high:
                return frozenset(str(n) for n in range(low, high + 1))
        return frozenset((terminal,))

    def free_point(self) -> str:
        """The point of the earth bar that no conductor uses: `machines` adds one to each bar."""
        return str(self.parts["XPE"]["points"])


def refs(plan: Plan) -> Iterator[Ref]:
    """Every end of every wire and core of a plan."""
    for n, wire in enumerate(plan["wires"]):
        spots: list[Spot] = [("wires", n, key) for key in ("from", "to") if key in wire]
        spots += [("wires", n, "through", k) for k in range(len(wire.get("through", ())))]
        yield from (_ref(plan, spot, wire["wire"]) for spot in spots)
    for n, cable in enumerate(plan["cables"]):
        for core in cable["join"]:
            yield from (_ref(plan, ("cables", n, "join", core, k), f"{cable['cable']}.{core}") for k in (0, 1))


def _ref(plan: Plan, spot: Spot, conductor: str) -> Ref:
    part, _, terminal = str(get(plan, spot)).partition(":")
    return Ref(spot, conductor, part, terminal)


def get(plan: Plan, spot: Spot) -> Any:
    """What stands at a spot."""
    here: Any = plan
    for step in spot:
        here = here[step]
    return here


def put(plan: Plan, spot: Spot, value: Any) -> None:
    """Write a value at a spot; missing mappings on the way are made."""
    here: Any = plan
    for step in spot[:-1]:
        here = here.setdefault(step, {}) if isinstance(here, dict) else here[step]
    here[spot[-1]] = value


def remove(plan: Plan, spot: Spot) -> None:
    """Take away what stands at a spot."""
    del get(plan, spot[:-1])[spot[-1]]


def set_part(plan: Plan, part: str, **values: Any) -> None:
    """Write keys of a part."""
    plan["parts"][part].update(values)


def forget(machine: Machine, plan: Plan, part: str, key: str) -> None:
    """Take a key away from a part; one from the library is spelled out without it."""
    entry = plan["parts"][part]
    if "use" in entry:
        entry.clear()
        entry.update({k: v for k, v in deepcopy(machine.parts[part]).items() if k not in ("standing", "source")})
    entry.pop(key, None)


def join(plan: Plan, number: str, start: str, end: str, like: str) -> None:
    """Add a wire that is like another one: its type, size, length and route."""
    model = next((wire for wire in plan["wires"] if wire["wire"] == like), plan["wires"][-1])
    kept = {key: value for key, value in model.items() if key not in ("wire", "from", "to", "through", "title")}
    plan["wires"].append({"wire": number, "from": start, "to": end, **kept})


def _expanded(entry: Plan) -> Plan:
    if "use" not in entry:
        return dict(entry)
    found = packaged_entry(entry["use"])
    assert found is not None, entry["use"]
    return {"kind": found.kind, **found.data, **{k: v for k, v in entry.items() if k != "use"}}


#: The plans on which the shares of the README were measured; plans that came later wait for a measurement of their own.
MEASURED = ("bench-press-feeder", "coil-winder", "foam-gantry", "stone-engraver")


@cache
def machines() -> tuple[Machine, ...]:
    """The four clean plans, with one point more on the earth bar for the breaks that need one."""
    found = []
    for path in (ROOT / "specs" / f"{name}.yaml" for name in MEASURED):
        plan = parsed(path.read_text(encoding="utf-8"))
        bar = plan["parts"]["XPE"]
        bar["points"] = str(int(bar["points"]) + 1)
        found.append(Machine(path.stem, plan, {id_: _expanded(e) for id_, e in plan["parts"].items()}))
    return tuple(found)
