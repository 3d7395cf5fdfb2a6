"""What the sheet must know of a plan: protective devices and what they feed, supplies, hazards, what hands work."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Circuit, Conductor, Edge, Inner, Node
from wiring.circuit.roles import Role, is_earth_point
from wiring.control.script import start_devices
from wiring.design.conductor.wire_resistance import conductor_ohm
from wiring.design.stop.hazards import drives_of, hazards
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Draw, Feed, Input, Link, Output, Pole, Resistance, Switch
from wiring.parts.motors import Shaft
from wiring.parts.passive import Resistor, Terminals
from wiring.parts.protection import Disconnector, ResidualCurrentDevice
from wiring.parts.sources import Capacitor
from wiring.parts.switching import Contactor
from wiring.powerup.contact_safety import ContactSafety
from wiring.powerup.same_circuit import SameCircuit
from wiring.powerup.step import Event, Setting
from wiring.powerup.stored_energy import Store, stores
from wiring.solver.lowering import Lowered, lower
from wiring.walks import walk

if TYPE_CHECKING:
    from wiring.design.design import Design

#: Temperature at which the dead machine is measured [°C]: that of the resistance tables (IEC 60228).
COLD_C = 20.0
#: What a conductor of the incoming supply is.
MAINS_ROLES = (Role.LIVE, Role.NEUTRAL, Role.AC)


#: Resistance of a bridge of a terminal block where it is a path of its own: the least that the network knows [ohm].
_BRIDGE_OHM = 1e-6
#: The same where milliohms are measured: no more than a sound reading would show.
_COLD_BRIDGE_OHM = 1e-5


def is_bridge(circuit: Circuit, path: Inner) -> bool:
    """Whether a path is a bridge between terminals of a block, which may be missing."""
    return (
        isinstance(path.element, Link)
        and path.element.ohm == 0.0
        and isinstance(circuit.parts[path.part].data, Terminals)
    )


class Pair(Struct, frozen=True):
    """Two terminals of a part between which it is fed, or takes a signal. `takes_power` is False for a signal."""

    part: str
    a: Node
    b: Node
    kind: str
    takes_power: bool
    is_coil: bool = False
    is_logic: bool = False


def pairs_of(part: Part) -> list[Pair]:
    """Where a part is fed and where it takes signals, each pair of terminals once."""
    found: dict[tuple[str, str], Pair] = {}
    for element in part.elements:
        match element:
            case Input() | Draw():
                kind, power, coil = element.kind, True, False
            case Coil():
                kind, power, coil = element.kind or "DC", True, True
            case Resistance() if not isinstance(part.data, Shaft | Capacitor | Resistor):
                kind, power, coil = element.kind, element.load, False
            case _:
                continue
        ends = (element.a, element.b)
        if all(end in part.terminals for end in ends):
            logic = isinstance(element, Draw) and element.name == "logic"
            a, b = (part.name, ends[0]), (part.name, ends[1])
            found.setdefault(ends, Pair(part.name, a, b, kind, power, coil, logic))
    return list(found.values())


class Survey:
    """The facts, each found once."""

    def __init__(self, design: Design) -> None:
        self.design = design
        self.circuit = design.circuit

    @cached_property
    def safety(self) -> ContactSafety:
        """What may stand at every place."""
        return ContactSafety(self.design)

    @cached_property
    def stores(self) -> tuple[Store, ...]:
        """What holds charge after switching off."""
        return stores(self, self.safety)

    @cached_property
    def same_circuit(self) -> SameCircuit:
        """What may be changed over, joined or stuck and leaves the circuit as it was."""
        return SameCircuit(self.circuit)

    @cached_property
    def cold(self) -> Lowered:
        """The circuit with every conductor at 20 °C; a semiconductor that is not fed leads nowhere."""
        book = self.design.book
        return _unfed(lower(self.circuit, lambda conductor: conductor_ohm(book, conductor, COLD_C)))

    @cached_property
    def live(self) -> Lowered:
        """The circuit at work, with every bridge of a terminal block as a path of its own that can be missing."""
        return self._with_bridges(self.design.lowered, _BRIDGE_OHM)

    @cached_property
    def cold_with_bridges(self) -> Lowered:
        """The same at 20 °C, for the ohmmeter."""
        return _unfed(self._with_bridges(self.cold, _COLD_BRIDGE_OHM))

    def _with_bridges(self, lowered: Lowered, bridge_ohm: float) -> Lowered:
        inner = tuple(
            replace(path, element=replace(path.element, ohm=bridge_ohm)) if is_bridge(self.circuit, path) else path
            for path in self.circuit.inner
        )
        ohm = {edge.id: edge.ohm for edge in lowered.edges}
        return lower(replace(self.circuit, inner=inner), lambda wire: ohm[wire.id])

    @cached_property
    def devices(self) -> dict[str, Part]:
        """What is taken out or switched off: an overload relay has no contacts of its own in the motor's circuit."""
        return {name: part for name, part in self.set_devices.items() if getattr(part.data, "magnetic", True)}

    @cached_property
    def set_devices(self) -> dict[str, Part]:
        """Fuses, breakers, motor protectors and overload relays by name; a residual current device stays in."""
        return {
            part.name: part
            for part in self.circuit.parts.values()
            if not isinstance(part.data, ResidualCurrentDevice)
            and any(isinstance(element, Pole) for element in part.elements)
        }

    def poles(self, names: Iterator[str] | list[str] | tuple[str, ...]) -> frozenset[str]:
        """The ids of every pole of some devices."""
        return frozenset(f"{name}:{pole.name}" for name in names for pole in self.devices[name].of(Pole))

    @cached_property
    def nodes_behind(self) -> dict[str, frozenset[Node]]:
        """The points on the load side of every device, as far as contacts, links and other devices lead."""
        return {name: self._load_side(part) for name, part in self.devices.items()}

    def _load_side(self, device: Part) -> frozenset[Node]:
        poles = device.of(Pole)
        blocked = {(device.name, pole.a) for pole in poles}

        def onward(node: Node) -> Iterator[tuple[Edge, Node]]:
            for edge, far in self.circuit.steps(node):
                earth = is_earth_point(self.circuit, far) or is_earth_point(self.circuit, node)
                if far not in blocked and not earth:
                    yield edge, far

        return frozenset(walk([(device.name, pole.b) for pole in poles], onward))

    @cached_property
    def fed_by(self) -> dict[str, tuple[str, ...]]:
        """The parts on the load side of every device."""
        return {
            name: tuple(sorted({part for part, _ in nodes if part in self.circuit.parts} - {name}))
            for name, nodes in self.nodes_behind.items()
        }

    def ahead(self, part: str) -> tuple[str, ...]:
        """The devices through which a part is fed, from the source that feeds it only."""
        return tuple(name for name in self.devices if part in self.fed_by[name])

    def is_mains(self, device: str) -> bool:
        """Whether a device sits in the mains circuit."""
        part = self.devices[device]
        ends = [(device, end) for pole in part.of(Pole) for end in (pole.a, pole.b)]
        return any(self.design.roles.role.get(end) in MAINS_ROLES for end in ends)

    @cached_property
    def sources(self) -> dict[str, Output]:
        """The main output of every supply, converter, transformer, rectifier and process source."""
        return {
            part.name: element
            for part, element in self.circuit.elements(Output)
            if isinstance(element, Output) and element.name == "output" and element.plus in part.terminals
        }

    def is_mains_fed(self, source: str) -> bool:
        """Whether a source is fed by AC."""
        return any(isinstance(e, Input) and e.kind == "AC" for e in self.circuit.parts[source].elements)

    @cached_property
    def inlet(self) -> dict[str, Node]:
        """The terminals of the inlet by conductor: L, N, PE."""
        return {
            element.conductor: (part.name, element.terminal)
            for part, element in self.circuit.elements(Feed)
            if isinstance(element, Feed)
        }

    @property
    def earth(self) -> Node | None:
        """Where the incoming protective conductor arrives."""
        return next(iter(self.design.earthing.inlets), None)

    @cached_property
    def motor_wires(self) -> frozenset[str]:
        """The conductors of every motor but its protective one: what its plug parts."""
        return frozenset(
            conductor.id
            for part in self.circuit.parts.values()
            if isinstance(part.data, Shaft)
            for terminal in part.terminals
            if terminal != "PE"
            for conductor in self.circuit.conductors_at((part.name, terminal))
            if conductor.kind != "shield"
        )

    @cached_property
    def hazardous(self) -> frozenset[str]:
        """What can hurt, by the part that is fed for it: a drive for its motor."""
        found: set[str] = set()
        for part in hazards(self.circuit):
            drives = drives_of(part, self.design.axes)
            found |= {drive.name for drive in drives} or {part.name}
        found |= {part.name for part in self.circuit.parts.values() if isinstance(part.data, Drive)}
        return frozenset(found)

    @cached_property
    def power_devices(self) -> tuple[str, ...]:
        """The devices straight ahead of where what can hurt takes its power; signals and logic do not count."""
        fed = {
            pair.a
            for name in self.hazardous
            for pair in pairs_of(self.circuit.parts[name])
            if pair.takes_power and not pair.is_coil and not pair.is_logic
        }
        return tuple(name for name in self.devices if fed & self.nodes_behind[name])

    @cached_property
    def start_events(self) -> tuple[Event, ...]:
        """What makes the machine ready: the reset of every stop pressed and let go, then every other button."""
        devices = tuple(device for stop in self.design.plan.stops.values() for device in stop.devices)
        resets = [stop.reset for stop in self.design.plan.stops.values()] or [None]
        names = dict.fromkeys(name for reset in resets for name in start_devices(self.circuit, reset, devices))
        wanted = [name for name in names if name in {reset for reset in resets if reset}] or list(names)[:1]
        return tuple(Event(name, "operator", on) for name in wanted for on in (True, False))

    @cached_property
    def contactors(self) -> tuple[str, ...]:
        """Contactors with a test lever, by which they are held in on the dead machine."""
        return tuple(
            part.name for part in self.circuit.parts.values() if isinstance(part.data, Contactor) and part.of(Coil)
        )

    def held_in(self, *contactors: str) -> Setting:
        """The dead machine with some contactors held in at their test levers."""
        return Setting(False, moved=frozenset((name, "coil") for name in contactors))

    @cached_property
    def main_switch_words(self) -> str:
        """How the main switch stands in every position: closed, so that the meter sees the machine through it."""
        names = [part.name for part in self.circuit.parts.values() if isinstance(part.data, Disconnector)]
        return f"{', '.join(names)} on" if names else ""

    @cached_property
    def hand_worked(self) -> tuple[str, ...]:
        """Switches and sensors that a hand can work and that are no stop device and no reset."""
        stops = {device for stop in self.design.plan.stops.values() for device in stop.devices}
        resets = {event.part for event in self.start_events}
        return tuple(
            part.name
            for part in self.circuit.parts.values()
            if part.name not in stops | resets
            and not isinstance(part.data, Disconnector)
            and any(isinstance(e, Switch) and e.actuator == "operator" for e in part.elements)
        )

    def conductor_at(self, node: Node) -> Conductor | None:
        """The only conductor at a node, None where there are several or none."""
        found = [c for c in self.circuit.conductors_at(node) if c.kind != "shield"]
        return found[0] if len(found) == 1 else None

    def far_end(self, node: Node) -> Node:
        """The other end of the only conductor at a node: the drive's end of the cable at a motor's terminal."""
        wire = self.conductor_at(node)
        return wire.other(node) if wire else node

    def beyond(self, node: Node) -> Node:
        """The other end of the first conductor at a node, the node itself where there is none."""
        wires = [wire for wire in self.circuit.conductors_at(node) if wire.kind != "shield"]
        return wires[0].other(node) if wires else node

    def numbers(self, *nodes: Node | None) -> tuple[str, ...]:
        """The numbers printed on the conductors at some points, those of the first point first."""
        found = [c.number for node in nodes if node for c in self.circuit.conductors_at(node) if c.kind != "shield"]
        return tuple(dict.fromkeys(found))

    def only(self, *devices: str, events: tuple[Event, ...] = (), outputs: bool = False) -> Setting:
        """Mains on, motors unplugged, every protective device out but these."""
        out = [name for name in self.devices if name not in devices]
        return Setting(True, self.poles(out) | self.motor_wires, events, "", outputs)


def _unfed(lowered: Lowered) -> Lowered:
    """Without the semiconductors: they conduct while they are fed."""
    kept = (edge for edge in lowered.edges if not _is_semiconductor(edge.source))
    return replace(lowered, edges=tuple(kept))


def _is_semiconductor(edge: Edge) -> bool:
    return isinstance(edge, Inner) and isinstance(edge.element, Switch) and edge.element.solid_state
