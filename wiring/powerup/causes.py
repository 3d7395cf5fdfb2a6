"""Every single fault that a wrong reading may come from, and the circuit with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Circuit, Conductor, Inner, Node, named
from wiring.control.fault_record import Fault as StopFault
from wiring.control.faults import single_faults
from wiring.parts.base import Part
from wiring.parts.elements import Element, Function, Link, Output, Pole, Switch
from wiring.parts.protection import Fuse, ResidualCurrentDevice, device_rating
from wiring.parts.typical import fuse_ohm
from wiring.powerup.axis_signals import AxisSignals
from wiring.powerup.machine import Fault
from wiring.powerup.survey import Survey, is_bridge
from wiring.solver.lowering import ConductingElement, Lowered

#: Resistance of a bridge that should not be, and of joints that are loose or dirty [ohm].
BRIDGE_OHM = 1e-3
JOINT_OHMS = (1.0, 10.0)
#: A supply that is low stands at this share of its voltage; a wrong fuse has this share of its rating.
LOW_SHARE = 0.9
WRONG_FUSE_SHARE = 0.4
_BLOWS_AT = 2.0
#: How much likelier than the rest a kind of fault is before anything is measured (common practice, no source).
PRIOR: Mapping[str, float] = {
    "open": 1.0,
    "joint": 0.5,
    "swapped": 0.5,
    "neighbour": 0.5,
    "bridge": 0.2,
    "blown": 1.0,
    "wrong-fuse": 0.3,
    "weld": 0.1,
    "stay": 0.4,
    "dead": 0.3,
    "missing": 0.3,
    "low": 0.3,
    "no-link": 0.7,
}
_KEPT = {"open", "blown", "weld", "stay", "missing", "bridge"}


class Cause(Struct, frozen=True):
    """One fault. `opened`, `closed`, `off` as in a run; `ohms` adds to conductors; `bridge` joins two nodes; `moved`
    are conductors with new ends; `volts` and `fuse` change a part. A bridge of a terminal block left out is opened.
    `is_same` leaves the circuit as it was: it has no effect and no reading."""

    id: str
    kind: str
    subjects: tuple[str, ...]
    words: str
    opened: frozenset[str] = frozenset()
    closed: frozenset[str] = frozenset()
    off: frozenset[str] = frozenset()
    ohms: tuple[tuple[str, float], ...] = ()
    bridge: tuple[Node, Node] | None = None
    moved: tuple[tuple[str, Node, Node], ...] = ()
    volts: tuple[str, float] | None = None
    fuse: tuple[str, float] | None = None
    looks: tuple[str, ...] = ()
    is_same: bool = False

    @property
    def prior(self) -> float:
        """Weight before any measurement."""
        return PRIOR[self.kind]


def single_causes(survey: Survey) -> tuple[Cause, ...]:
    """Every single fault of a plan, in a fixed order, without doubles and without moves along one piece of metal."""
    circuit, index, axes = survey.circuit, survey.cold.index, AxisSignals(survey)
    found = [
        *_from_stop_faults(survey, axes),
        *_joints(circuit),
        *_misplaced(circuit, axes),
        *_swapped_pairs(survey, axes),
        *_parts(survey),
        *_links(circuit),
    ]
    known = {cause.id: cause for cause in found if not _stays(cause, circuit, index)}
    inner = {path.id: path for path in circuit.inner}
    return tuple(replace(cause, is_same=True) if _is_same(cause, survey, inner) else cause for cause in known.values())


def _is_same(cause: Cause, survey: Survey, inner: Mapping[str, Inner]) -> bool:
    """Whether a fault leaves the circuit as it was."""
    same = survey.same_circuit
    if cause.kind == "swapped":
        wires = survey.circuit.conductor
        first, second = (next(end for end in wires[name].ends if end not in (a, b)) for name, a, b in cause.moved)
        return same.turns(first, second)
    if cause.bridge:
        return same.is_idle(*cause.bridge)
    paths = [inner[name] for name in cause.opened | cause.closed if name in inner]
    return bool(paths) and len(paths) == len(cause.opened | cause.closed) and all(map(same.is_idle_path, paths))


def _stays(cause: Cause, circuit: Circuit, index: Mapping[Node, int]) -> bool:
    """Whether every conductor that a cause moves ends on the same metal as before."""
    if not cause.moved:
        return False
    wires = circuit.conductor
    return all((index[a], index[b]) == (index[wires[name].a], index[wires[name].b]) for name, a, b in cause.moved)


def _from_stop_faults(survey: Survey, axes: AxisSignals) -> Iterator[Cause]:
    wires = survey.circuit.conductor
    for fault in single_faults(survey.circuit):
        if fault.kind in _KEPT:
            open_ends = [end for name in fault.opened if name in wires for end in wires[name].ends]
            yield _taken_over(fault, axes.mixed(*fault.bridge) if fault.bridge else axes.lost(*open_ends))
        elif fault.kind == "dead" and fault.off:
            part, actuator = fault.off[0]
            if actuator in ("coil", "outputs", "brake", "valve"):
                yield Cause(f"dead:{part}", "dead", (part,), f"{part} is dead: coil open", off=frozenset({part}))


def _taken_over(fault: StopFault, looks: tuple[str, ...]) -> Cause:
    words = f"{fault.words} or is not connected" if fault.kind == "open" else fault.words
    if fault.kind == "blown":
        words = f"{fault.subjects[0]} is blown, open or not in ({fault.opened[0]})"
    return Cause(
        fault.id,
        fault.kind,
        fault.subjects,
        words,
        frozenset(fault.opened),
        frozenset(fault.closed),
        frozenset(fault.dead),
        bridge=fault.bridge,
        looks=looks,
    )


def _joints(circuit: Circuit) -> Iterator[Cause]:
    for wire in circuit.conductors:
        if wire.kind == "shield":
            continue
        for ohm in JOINT_OHMS:
            words = f"loose or dirty joint of about {ohm:g} ohm on {wire.id}"
            yield Cause(f"joint:{wire.id}:{ohm:g}", "joint", (wire.id,), words, ohms=((wire.id, ohm),))


def _moved(wire: Conductor, end: Node, to: Node) -> tuple[str, Node, Node]:
    return (wire.id, to, wire.b) if wire.a == end else (wire.id, wire.a, to)


def _single(circuit: Circuit, node: Node) -> list[Conductor]:
    return [wire for wire in circuit.conductors_at(node) if wire.kind != "shield"]


def _mistaken(part: Part) -> Iterator[tuple[Node, Node]]:
    """Terminals of which one is taken for the other: neighbours, and the two ends of one contact or pole."""
    ends = ((one.a, one.b) for one in part.of(Switch, Pole) if part.data.line_above)
    for first, second in dict.fromkeys((*part.beside, *ends)):
        yield (part.name, first), (part.name, second)


def _misplaced(circuit: Circuit, axes: AxisSignals) -> Iterator[Cause]:
    for part in circuit.parts.values():
        for first, second in _mistaken(part):
            for end, to in ((first, second), (second, first)):
                for wire in _single(circuit, end)[:1]:
                    words = f"{wire.id} sits in {named(to)} instead of {named(end)}"
                    moved = (_moved(wire, end, to),)
                    name = f"neighbour:{wire.id}:{named(to)}"
                    looks = axes.mixed(end, to)
                    looks = (part.name,) if isinstance(part.data, ResidualCurrentDevice) else looks
                    yield Cause(name, "neighbour", (wire.id, part.name), words, moved=moved, looks=looks)


def _turned(survey: Survey, part: Part, first: str, second: str) -> tuple[str, ...]:
    """What turns the wrong way when two motor conductors are changed over: its drive, or a motor without one."""
    functions = {terminal.function for name, terminal in part.terminals.items() if name in (first, second)}
    if functions != {Function.MOTOR}:
        return ()
    drives = [drive for drive, axis in survey.design.axes.items() if part.name == drive or part in axis.motors]
    return tuple(drives) or (part.name,)


def _swapped_pairs(survey: Survey, axes: AxisSignals) -> Iterator[Cause]:
    circuit = survey.circuit
    for part in circuit.parts.values():
        for first, second in _mistaken(part):
            one, two = _single(circuit, first), _single(circuit, second)
            if len(one) == len(two) == 1 and one[0].id != two[0].id:
                words = f"{one[0].id} and {two[0].id} changed over at {named(first)} and {named(second)}"
                moved = (_moved(one[0], first, second), _moved(two[0], second, first))
                subjects = (one[0].id, two[0].id, part.name)
                looks = _turned(survey, part, first[1], second[1]) or axes.mixed(first, second)
                # One pole turned round: its current counts the other way, twice that of the load is left over.
                looks = (part.name,) if isinstance(part.data, ResidualCurrentDevice) else looks
                yield Cause(
                    f"swapped:{named(first)}+{named(second)}", "swapped", subjects, words, moved=moved, looks=looks
                )


def _parts(survey: Survey) -> Iterator[Cause]:
    for name, output in survey.sources.items():
        low = LOW_SHARE * output.volts
        if output.ratio is None:
            yield Cause(f"low:{name}", "low", (name,), f"{name} stands low, near {low:.3g} V", volts=(name, LOW_SHARE))
    for name, part in survey.devices.items():
        rating = device_rating(part)
        if isinstance(part.data, Fuse) and rating:
            wrong = WRONG_FUSE_SHARE * rating
            words = f"{name} has a fuse of about {wrong:.2g} A instead of {rating:g} A"
            yield Cause(f"wrong-fuse:{name}", "wrong-fuse", (name,), words, fuse=(name, wrong), looks=(name,))


def _links(circuit: Circuit) -> Iterator[Cause]:
    for path in circuit.inner:
        if is_bridge(circuit, path):
            words = f"bridge between {named(path.a)} and {named(path.b)} is missing"
            yield Cause(f"no-link:{path.id}", "no-link", (path.part,), words, opened=frozenset({path.id}))


# The circuit with a fault in it.


def both(first: Cause, second: Cause) -> Cause:
    """Two faults at once."""
    return Cause(
        f"{first.id} and {second.id}",
        first.kind,
        (*first.subjects, *second.subjects),
        f"{first.words}; and {second.words}",
        first.opened | second.opened,
        first.closed | second.closed,
        first.off | second.off,
        (*first.ohms, *second.ohms),
        first.bridge or second.bridge,
        (*first.moved, *second.moved),
        first.volts or second.volts,
        first.fuse or second.fuse,
        (*first.looks, *second.looks),
    )


def can_join(first: Cause, second: Cause) -> bool:
    """Whether two faults can be told in one circuit: neither needs the same change of the network."""
    return not any(getattr(first, name) and getattr(second, name) for name in ("bridge", "volts", "fuse", "moved"))


def run_fault(cause: Cause, survey: Survey) -> Fault:
    """What a run needs to know of a cause."""
    fuses: dict[str, float] = {}
    if cause.fuse:
        name, rating = cause.fuse
        fuses = dict.fromkeys(survey.poles([name]), _BLOWS_AT * rating)
    return Fault(cause.opened, cause.closed, cause.off, fuses or None)


def with_cause(lowered: Lowered, cause: Cause) -> Lowered:
    """The lowered circuit with everything of a cause that a switching position cannot say."""
    if cause.ohms or cause.moved or cause.fuse:
        lowered = replace(lowered, edges=tuple(_edge(lowered, edge, cause) for edge in lowered.edges))
    if cause.bridge:
        lowered = _bridged(lowered, cause)
    if cause.volts:
        lowered = replace(lowered, circuit=_lower_volts(lowered.circuit, *cause.volts))
    return lowered


def _edge(lowered: Lowered, edge: ConductingElement, cause: Cause) -> ConductingElement:
    for name, ohm in cause.ohms:
        if edge.id == name:
            edge = replace(edge, ohm=edge.ohm + ohm)
    for name, a, b in cause.moved:
        if edge.id == name:
            edge = replace(edge, a=lowered.index[a], b=lowered.index[b])
    if cause.fuse and isinstance(edge.source, Inner) and edge.source.part == cause.fuse[0]:
        edge = replace(edge, ohm=fuse_ohm(cause.fuse[1]))
    return edge


def _bridged(lowered: Lowered, cause: Cause) -> Lowered:
    assert cause.bridge is not None
    first, second = cause.bridge
    a, b = lowered.index.get(first), lowered.index.get(second)
    if a is None or b is None or a == b:
        return lowered
    link = Inner(cause.id, Link(first[1], second[1], BRIDGE_OHM), first, second)
    return replace(lowered, edges=(*lowered.edges, ConductingElement(cause.id, a, b, BRIDGE_OHM, link)))


def _lower_volts(circuit: Circuit, name: str, share: float) -> Circuit:
    part = circuit.parts[name]
    elements: list[Element] = [
        replace(element, volts=share * element.volts)
        if isinstance(element, Output) and element.name == "output"
        else element
        for element in part.elements
    ]
    return replace(circuit, parts={**circuit.parts, name: replace(part, elements=tuple(elements))})
