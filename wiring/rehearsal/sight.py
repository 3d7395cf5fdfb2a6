"""Everything that is seen of the machine at one moment, as plain data for the page."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite
from typing import Any

from wiring.circuit.model import named
from wiring.control.alive import is_alive
from wiring.documents.drawn import svg_safe
from wiring.parts.elements import Draw, Pole, Resistance, Switch
from wiring.parts.loads import Lamp
from wiring.parts.motors import Shaft
from wiring.rehearsal.bench import Bench
from wiring.rehearsal.charge import charged_nodes
from wiring.solver.assembly import Actuator
from wiring.solver.lowering import is_closed

#: Below these a conductor carries nothing, and stands at the potential of the earth.
_LEAST_A, _LEAST_V = 1e-4, 0.5
#: A lamp lights from this share of its rated voltage (common practice, no source).
_LIT = 0.5
#: Names of what coils move that people see; the inputs of units and drives are inside them.
_COILS = ("coil", "brake", "valve")

#: What a conductor or terminal looks like. A motor's own cable is in no network: it is `driven` while its drive is fed.
FLOW, LIVE, CHARGED, DRIVEN, ZERO, FLOATING = "flow", "live", "charged", "driven", "zero", "float"


class _Seen:
    def __init__(self, bench: Bench) -> None:
        self.bench, self.point = bench, bench.last_point
        self.amps = [self.point.path_current(kind) for kind in ("DC", "AC")]
        self.charged = charged_nodes(bench.design.machine, self.point, bench.charge, bench.time_s, _LEAST_V)
        self.alive = {target.name: is_alive(target, self.point) for target in bench.use.targets}

    def volts(self, number: int) -> tuple[float | None, float | None]:
        """Voltage of a node to earth, signed at DC and its size at AC; what capacitors hold counts as DC."""
        found = [self.point.layer(kind).volts[number] for kind in ("DC", "AC")]
        dc, ac = (None if one is None else complex(one) for one in found)
        kept = self.charged.get(number)
        direct = None if dc is None else dc.real
        if kept is not None and abs(direct or 0.0) < kept:
            direct = kept
        return direct, None if ac is None else abs(ac)

    def path(self, name: str) -> tuple[float, float]:
        """Current at DC and at AC [A]."""
        return abs(self.amps[0].get(name, 0.0)), abs(self.amps[1].get(name, 0.0))

    def look(self, numbers: Iterable[int], amps: tuple[float, float] = (0.0, 0.0)) -> str:
        if max(amps) >= _LEAST_A:
            return FLOW
        places = list(numbers)
        known = [abs(volts) for number in places for volts in self.volts(number) if volts is not None]
        if any(volts >= _LEAST_V for volts in known):
            return CHARGED if any(number in self.charged for number in places) else LIVE
        return ZERO if known else FLOATING

    def conductors(self) -> dict[str, list[Any]]:
        """By conductor: its look, amperes at DC and AC, volts at DC and AC of its first end; one that is driven has the
        current as its drive is set."""
        index, found = self.point.lowered.index, {}
        for wire in self.bench.circuit.conductors:
            amps = self.path(wire.id)
            look = self.look((index[wire.a], index[wire.b]), amps)
            if look == FLOATING and any(self._driven(end[0]) for end in wire.ends):
                figure = self.bench.design.conductors.get(wire.id)
                look, amps = DRIVEN, (figure.current_a if figure is not None else 0.0, 0.0)
            found[svg_safe(wire.id)] = [look, *map(_short, amps), *map(_short, self.volts(index[wire.a]))]
        return found

    def _driven(self, part: str) -> bool:
        return self.alive.get(part, False) and isinstance(self.bench.design.parts[part].data, Shaft)

    def nodes(self) -> dict[str, list[Any]]:
        """By terminal: its look, and its volts at DC and AC."""
        index, flowing = self.point.lowered.index, self._flowing()
        return {
            svg_safe(named(node)): [
                FLOW if node in flowing else self.look((index[node],)),
                *map(_short, self.volts(index[node])),
            ]
            for node in self.bench.circuit.nodes
        }

    def _flowing(self) -> set[tuple[str, str]]:
        edges = (edge for edge in self.bench.circuit.edges if max(self.path(edge.id)) >= _LEAST_A)
        return {end for edge in edges for end in (edge.a, edge.b)}

    def working(self) -> list[str]:
        """The parts that do their work: hazards that are fed, lamps that light, other loads that take current."""
        found = [name for name, alive in self.alive.items() if alive]
        amps = [self.point.element_current(kind) for kind in ("DC", "AC")]
        for part in self.bench.design.parts.values():
            if part.name in self.alive:
                continue
            for n, element in enumerate(part.elements):
                if not isinstance(element, Draw) and not (isinstance(element, Resistance) and element.load):
                    continue
                if isinstance(part.data, Lamp):
                    ends = (part.name, element.a), (part.name, element.b)
                    rated = part.data.rated.voltage
                    works = max(abs(self.point.between(*ends, kind)) for kind in ("DC", "AC")) >= _LIT * rated.volts
                else:
                    works = max(abs(one.get((part.name, n), 0.0)) for one in amps) >= _LEAST_A
                if works:
                    found.append(part.name)
                    break
        return found

    def open_paths(self) -> list[str]:
        """The contacts and poles that do not conduct."""
        position = self.point.position
        return [
            edge.id
            for edge in self.point.lowered.edges
            if not is_closed(edge, position.moved, position.opened, position.closed)
        ]


def sight(bench: Bench) -> dict[str, Any]:
    """The machine as it stands, whole: small enough to be sent after every act."""
    seen, hands = _Seen(bench), bench.hands
    return {
        "clock": round(bench.time_s, 3),
        "next": {
            f"{part} {_mover(name)}".strip(): round(at - bench.time_s, 3) for (part, name), at in bench.due.items()
        },
        "state": hands.state,
        "mains": hands.mains,
        "programs": hands.programs,
        "undo": len(bench.past),
        "worked": [f"{part} {actuator}" for part, actuator in sorted(hands.worked)],
        "pulled": sorted(hands.pulled),
        "blown": sorted({path.split(":")[0] for path in bench.blown}),
        "lost": len(bench.sound.mains_sources) > len(bench.live_lowered.mains_sources),
        "faults": [[fault.id, fault.words] for fault in hands.faults],
        "cut": sorted(svg_safe(path) for path in bench.cut if path in bench.circuit.conductor),
        "on": sorted({part for part, name in bench.attracted | bench.held if (part, name) in _movers(bench)}),
        "open": seen.open_paths(),
        "wires": seen.conductors(),
        "nodes": seen.nodes(),
        "works": seen.working(),
        "alive": seen.alive,
        "charge": _charge(bench),
        "unrest": ", ".join(bench.restless),
        "doubt": bench.doubts.get("DC", "") or bench.doubts.get("AC", ""),
    }


def _movers(bench: Bench) -> set[Actuator]:
    """What is seen to pick up: the coils of contactors, relays, brakes and valves, and the outputs of units."""
    coils = {(key[0], coil.moves) for key, coil in bench.coils.items() if coil.moves in _COILS}
    return coils | {(key[0], unit.outputs) for key, unit in bench.logics.items()}


def _charge(bench: Bench) -> dict[str, list[Any]]:
    """By drive whose bus is charged and not fed: volts, and seconds until it is safe to touch, null where nothing
    tells."""
    found = {}
    for name, one in bench.charge.items():
        left = one.safe_in(bench.time_s)
        if not one.fed and one.at(bench.time_s) >= _LEAST_V:
            found[name] = [_short(one.at(bench.time_s)), round(left, 1) if isfinite(left) else None]
    return found


def _mover(name: str) -> str:
    return "" if name in ("coil", "outputs") else name


def _short(value: float | None) -> float | None:
    """Four digits are enough for a screen."""
    return None if value is None else float(f"{value:.3g}") + 0.0


def people(bench: Bench) -> dict[str, Any]:
    """What there is to work on the machine, for buttons: operators, devices, states, as long as the plan stands."""
    parts = bench.design.parts
    movers = [
        {
            "part": one.actuator[0],
            "actuator": one.actuator[1],
            "springs": one.springs_back,
            "kind": parts[one.actuator[0]].kind,
            "title": parts[one.actuator[0]].data.title,
        }
        for one in bench.use.operators
    ]
    devices = sorted({path.split(":")[0] for path in bench.trips})
    return {
        "operators": movers,
        "devices": [{"part": name, "kind": parts[name].kind, "title": parts[name].data.title} for name in devices],
        "states": list(bench.design.state_entries),
        "programs": bool(bench.outputs_of_programs),
        "stops": [device for stop in bench.design.plan.stops.values() for device in stop.devices],
        "resets": [stop.reset for stop in bench.design.plan.stops.values() if stop.reset],
        "lamps": [part.name for part in parts.values() if isinstance(part.data, Lamp)],
        "hazards": [target.name for target in bench.use.targets],
        "coils": sorted({part for part, _ in _movers(bench)}),
        "uncharged": sorted(name for name in bench.design.axes if name not in bench.charge),
        "titles": {svg_safe(part.name): [part.kind.replace("-", " "), part.data.title] for part in parts.values()},
        "wires": {
            svg_safe(wire.id): [named(wire.a), named(wire.b), wire.size.text if wire.size else "", wire.colour or ""]
            for wire in bench.circuit.conductors
        },
        "contacts": {
            path.id: [f"{path.part}:{path.element.a}", f"{path.part}:{path.element.b}"]
            for path in bench.circuit.inner
            if isinstance(path.element, Switch | Pole)
        },
    }
