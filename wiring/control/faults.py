"""Every single fault that the stop proof assumes, as data: what it opens, closes, bridges, holds or kills.

The list follows the fault tables of ISO 13849-2 annex D. Where those tables allow a fault to be left out under a
condition that this circuit meets, `excluded` names the condition; such a fault is still simulated and told apart.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from wiring.circuit.model import Circuit, Node, named
from wiring.circuit.roles import function_of
from wiring.control.conductor_faults import INSIDE_PLACES, conductor_faults
from wiring.control.fault_record import Fault
from wiring.control.left_out import torque_off_inside, unit_inside
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Feed, Function, Link, Logic, Output, Pole, Switch
from wiring.parts.light_curtain import LightCurtain
from wiring.parts.operators import EmergencyStop, GuardSwitch, HandOperated, LimitSwitch
from wiring.parts.passive import Connector
from wiring.parts.traits import SymbolForm
from wiring.solver.assembly import Actuator

_FITTED = "actuator fitted and fixed as its maker says, ISO 13849-2 table D.8"
_TESTED = "it finds a fault that hides somebody by itself, types 3 and 4 of IEC 61496-1"
_DIRECT = "direct opening contact, ISO 13849-2 table D.8"
_TERMINALS = "terminals to IEC standards with ferrules or sleeves, ISO 13849-2 table D.6"
_CONTACTS = "contacts to IEC 60947-5-1, ISO 13849-2 tables D.8 and D.9"
_GUIDED = "contacts positively guided, ISO 13849-2 table D.9"


def single_faults(circuit: Circuit) -> tuple[Fault, ...]:
    """Every single fault of a circuit, in the order of conductors, cables and parts, without doubles."""
    found = list(conductor_faults(circuit))
    for part in circuit.parts.values():
        found += [
            *_contact_faults(circuit, part),
            *_change_over_faults(part),
            *_device_faults(circuit, part),
            *_neighbour_faults(part),
        ]
        found += _unplugged(circuit, part)
    return tuple({fault.id: fault for fault in found}.values())


#: Semiconductors fail short more often than open (ISO 13849-2 lists them apart from contacts; number from memory).
_SEMICONDUCTOR = "D.18"


def _contact_faults(circuit: Circuit, part: Part) -> Iterator[Fault]:
    switches, poles = part.of(Switch), part.data.working_contacts() or ()
    inside = unit_inside(circuit, part)
    for switch in switches:
        path = f"{part.name}:{switch.name}"
        direct = switch.actuator == "operator" and (switch.direct or isinstance(part.data, EmergencyStop))
        yield Fault(
            f"weld:{path}",
            "weld",
            (part.name,),
            f"{path} fails short" if switch.solid_state else f"contact {path} does not open",
            "D.8" if switch.actuator == "operator" else _SEMICONDUCTOR if switch.solid_state else "D.9",
            opened=_held_apart(part, switch, switches),
            closed=(path,),
            off=_locked_by(circuit, part, switch.actuator) if switch.name in poles else (),
            excluded=_DIRECT if direct and switch.closed_at_rest else inside,
        )
        yield Fault(f"stay:{path}", "stay", (part.name,), f"contact {path} does not close", "D.8", opened=(path,))
    for pole in part.of(Pole):
        path = f"{part.name}:{pole.name}"
        yield Fault(f"blown:{path}", "blown", (part.name,), f"{path} is open", "own list", opened=(path,))


def _change_over_faults(part: Part) -> Iterator[Fault]:
    """All three ends of a change-over joined: its break and its make contact closed at once."""
    switches = part.of(Switch)
    for broken, made in combinations(switches, 2):
        common = {broken.a, broken.b} & {made.a, made.b}
        if broken.actuator != made.actuator or broken.closed_at_rest == made.closed_at_rest or len(common) != 1:
            continue
        apart = bool(getattr(part.data, "forced", False))
        operator = broken.actuator == "operator"
        paths = (f"{part.name}:{broken.name}", f"{part.name}:{made.name}")
        yield Fault(
            f"change-over:{part.name}:{broken.name}+{made.name}",
            "change-over",
            (part.name,),
            f"the ends of contacts {paths[0]} and {made.name} touch",
            "D.8" if operator else "D.9",
            closed=paths,
            excluded=_CONTACTS if operator else _GUIDED if apart else "",
        )


def _unplugged(circuit: Circuit, part: Part) -> Iterator[Fault]:
    """A plug pulled: every core of a cable that ends in a connector is open there."""
    if not isinstance(part.data, Connector):
        return
    cables: dict[str, list[str]] = {}
    for wire in circuit.conductors:
        if wire.cable and any(end[0] == part.name for end in wire.ends):
            cables.setdefault(wire.cable, []).append(wire.id)
    for cable, cores in cables.items():
        words = f"the plug of cable {cable} is pulled from {part.name}"
        yield Fault(f"unplugged:{part.name}:{cable}", "unplugged", (part.name,), words, "D.7", opened=tuple(cores))


def _held_apart(part: Part, welded: Switch, switches: list[Switch]) -> tuple[str, ...]:
    """The break contacts that a welded make contact keeps open: mirror contacts, and all of a forcibly guided set."""
    if welded.closed_at_rest:
        return ()
    guided = bool(getattr(part.data, "forced", False))
    return tuple(
        f"{part.name}:{other.name}"
        for other in switches
        if other.closed_at_rest and other.actuator == welded.actuator and (other.mirror or guided)
    )


def _locked_by(circuit: Circuit, part: Part, actuator: str) -> tuple[Actuator, ...]:
    """The coils that a mechanical lock keeps out while the armature of one is held in: also by a main pole that is
    welded, as a mirror contact shows that it is (IEC 60947-4-1, annex F; of the lock: common practice, no source)."""
    return tuple(sorted(circuit.mechanical_locks.get((part.name, actuator), ())))


def _device_faults(circuit: Circuit, part: Part) -> Iterator[Fault]:
    moved = {switch.actuator for switch in part.of(Switch)}
    names = _actuators(part)
    inside = unit_inside(circuit, part) or torque_off_inside(circuit, part)
    for actuator in sorted(names):
        whole = f"{part.name}" if actuator in ("coil", "outputs", "brake", "valve") else f"{part.name} {actuator}"
        safe = actuator.startswith("sto") or bool(part.of(Logic))
        key = (part.name, actuator)
        fault_id = f"{part.name}:{actuator}"
        words = f"{whole} stays picked up"
        out, left_out = _locked_by(circuit, part, actuator), inside if safe else ""
        yield Fault(f"held:{fault_id}", "held", (part.name,), words, "D.9", on=(key,), off=out, excluded=left_out)
        yield Fault(f"dead:{fault_id}", "dead", (part.name,), f"{whole} no longer picks up", "D.9", off=(key,))
    if "operator" in moved and part.data.springs_back():
        jammed = f"{part.name} stays pressed"
        yield Fault(f"jammed:{part.name}", "jammed", (part.name,), jammed, "D.8", on=((part.name, "operator"),))
    if "operator" in moved and not isinstance(part.data, HandOperated):
        yield _unmoved(part)
    if any(isinstance(element, Output) and element.name == "output" for element in part.elements):
        missing = f"{part.name} delivers nothing"
        yield Fault(f"missing:{part.name}", "missing", (part.name,), missing, "D.12", dead=(part.name,))


def _unmoved(part: Part) -> Fault:
    """A switch that is worked, or a curtain that somebody enters, and does not answer."""
    lost, table, fixed = "is worked and moves no contact", "D.8", ""
    if isinstance(part.data, LightCurtain):
        lost, table, fixed = "does not see somebody", _SEMICONDUCTOR, "" if part.data.type == "2" else _TESTED
    elif isinstance(part.data, GuardSwitch | LimitSwitch):
        fixed = _FITTED
    off = ((part.name, "operator"),)
    return Fault(f"unmoved:{part.name}", "unmoved", (part.name,), f"{part.name} {lost}", table, off=off, excluded=fixed)


def _actuators(part: Part) -> set[str]:
    names: set[str] = set()
    logic = part.of(Logic)
    inner = {name for unit in logic for name in (unit.supply, unit.reset, *unit.channels)}
    for element in part.elements:
        if isinstance(element, Coil) and element.moves not in inner:
            names.add(element.moves)
        elif isinstance(element, Logic):
            names.add(element.outputs)
    return names


def _neighbour_faults(part: Part) -> Iterator[Fault]:
    joined = _joined(part)
    for first, second in part.beside:
        if joined.get(first, first) == joined.get(second, second) or _is_contact(part, first, second):
            continue
        ends = ((part.name, first), (part.name, second))
        row = part.data.symbol.form is SymbolForm.STRIP
        yield Fault(
            f"bridge:{part.name}:{first}+{second}",
            "bridge",
            (part.name,),
            f"{named(ends[0])} and {named(ends[1])} touch",
            "D.6" if row else "D.8",
            bridge=ends,
            excluded=_exclusion(part, row),
        )


def _exclusion(part: Part, row: bool) -> str:
    if row or part.data.at in INSIDE_PLACES:
        return _TERMINALS
    return _CONTACTS if any(isinstance(element, Switch) for element in part.elements) else ""


def _is_contact(part: Part, first: str, second: str) -> bool:
    """Whether the pair is the two ends of one contact or pole, whose closing is a fault of its own."""
    ends = {first, second}
    return any(isinstance(element, Switch | Pole) and {element.a, element.b} == ends for element in part.elements)


def _joined(part: Part) -> dict[str, str]:
    joined: dict[str, str] = {}

    def root(name: str) -> str:
        while joined.get(name, name) != name:
            name = joined[name]
        return name

    for element in part.of(Link):
        if element.ohm == 0.0:
            joined[root(element.a)] = root(element.b)
    return {name: root(name) for name in part.terminals}


def earth_node(circuit: Circuit) -> Node | None:
    """The node that stands for the protective earth: that of the inlet, else the first earth terminal there is."""
    for part, element in circuit.elements(Feed):
        if isinstance(element, Feed) and element.conductor == "PE":
            return part.name, element.terminal
    return next((node for node in circuit.nodes if function_of(circuit, node) is Function.PE), None)
