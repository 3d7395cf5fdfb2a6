"""What contacts, terminals and poles carry and close on, and what they are made for."""

from __future__ import annotations

from math import hypot, inf

from wiring.circuit.model import Edge, Inner, Node
from wiring.circuit.roles import Role, is_earth_point
from wiring.design.design import Design
from wiring.design.switching.contacts import ContactRating, ContactUse, read_rating
from wiring.parts.base import Part, PartModel
from wiring.parts.elements import Link, Pole, Switch
from wiring.parts.motors import Motor
from wiring.parts.protection import device_rating
from wiring.parts.switching import Contactor
from wiring.plan.ratings import Voltage, VoltageRange
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, iec_60204, nfpa_79
from wiring.rulebooks.contacts import control_contact_current


def contact_limit(design: Design, use: ContactUse) -> Limit | None:
    """The current that the contact may carry as it is used; None where the plan gives none."""
    data = design.parts[use.path.part].data
    source = iec_60204("4.2.1") if design.plan.rulebook == "iec" else nfpa_79("4.2")
    dc = use.level is not None and use.level.kind == "DC"
    rating = read_rating(getattr(data, "contact_rating", ""))
    amps = getattr(data, "rated", None)
    if isinstance(data, Contactor) and use.switch.a.isdigit() and len(use.switch.a) == 1:
        amps = data.dc_rated if dc and data.dc_rated is not None else data.rated
    elif use.inductive and rating.code is not None and use.level is not None:
        coded = control_contact_current(rating.code, use.level.volts, dc)
        if not isinstance(coded, NotTabled) and (amps is None or coded.value <= amps):
            return coded
    elif amps is None or (use.inductive and (rating.category or "").startswith("DC" if dc else "AC")):
        amps = min((one for one in (amps, rating.amps) if one is not None), default=None)
    return Limit(amps, "A", source) if amps is not None else None


def asked_of_contact(design: Design, use: ContactUse) -> float:
    """What a contact must be rated for [A]: what it carries, and of a contactor the rated current of its motor."""
    motor, part = design.parts.get(use.motor), design.parts[use.path.part]
    rated = motor.data.rated_current if motor is not None and isinstance(motor.data, Motor) else None
    return max(use.amps, rated or 0.0) if isinstance(part.data, Contactor) else use.amps


def brought_current(design: Design, part: Part) -> tuple[float, str]:
    """The most that a conductor brings to a part [A], and which does."""
    here = (c.id for terminal in part.terminals for c in design.circuit.conductors_at((part.name, terminal)))
    return max(((design.conductors[c].current_a, c) for c in here if c in design.conductors), default=(0.0, ""))


def let_through(design: Design, part: Part, above: float) -> float | None:
    """What the overcurrent devices ahead of a part, or all behind one of its poles together, let pass for ever by their
    ratings [A], the most of its poles; None where nothing of that is known, or where it is not `above` a current."""
    most = None
    for terminal in part.terminals:
        wires = [c for c in design.circuit.conductors_at((part.name, terminal)) if c.kind != "shield"]
        guards = [design.protections.get(wire.id) for wire in wires]
        roles = {rail.role for rail in design.roles.rails[part.name, terminal]}
        unlike = ("supply", "drive") if Role.NEUTRAL in roles else ("supply", "drive", "sum")
        ahead = [g.rating_a for g in guards if g is not None and g.family not in unlike]
        if roles.isdisjoint((Role.LIVE, Role.NEUTRAL, Role.PLUS)) or not ahead or not above < max(ahead) < inf:
            continue
        bounds = (_behind(design, (part.name, terminal)), device_rating(part))
        amps = min([max(ahead), *(one for one in bounds if one is not None)])
        most = amps if most is None else max(most, amps)
    return most


def _behind(design: Design, node: Node) -> float | None:
    """The ratings of the first devices on the ways from a point, over switches, together [A]; None without any."""
    devices: dict[str, float] = {}

    def leads(edge: Edge, far: Node) -> bool:
        if not isinstance(edge, Inner):
            return edge.kind != "shield" and not is_earth_point(design.circuit, far)
        rating = device_rating(design.parts[edge.part]) if isinstance(edge.element, Pole) else None
        if rating is not None:
            devices[edge.id] = rating
        return rating is None and isinstance(edge.element, Link | Pole | Switch)

    design.circuit.walk([node], leads)
    return sum(devices.values()) or None


def _pole_current(design: Design, node: Node) -> tuple[float, str]:
    """Current that enters or leaves a part at one terminal [A], the largest over the states, and its state."""
    wires = [c for c in design.circuit.conductors_at(node) if c.kind != "shield"]
    sums = []
    for state, point in design.operation.loaded.items():
        dc, ac = (
            abs(sum(current.get(c.id, 0.0) * (1 if c.a == node else -1) for c in wires))
            for current in (point.path_current("DC"), point.path_current("AC"))
        )
        sums.append((hypot(dc, ac), state))
    return max(sums, default=(0.0, ""))


def _rated_voltage(data: object) -> Voltage | None:
    """The highest voltage that a part is marked for; a solid-state relay is marked for a range."""
    rated: Voltage | VoltageRange | None = getattr(data, "rated_voltage", None)
    return rated.highest if isinstance(rated, VoltageRange) else rated


def dc_marking(data: PartModel) -> tuple[float | None, str]:
    """The DC voltage that a contact is marked for, and what its marking says: dc, ac, or "" for nothing."""
    rated = _rated_voltage(data)
    rating: ContactRating = read_rating(getattr(data, "contact_rating", ""))
    category = getattr(data, "category", "") or rating.category or ""
    if category.startswith("DC") or (rated and rated.kind == "DC"):
        volts = rated.volts if rated and rated.kind == "DC" else rating.volts
        return volts, "dc"
    if rating.code is not None and rating.code[0] in "NPQR":
        return 250.0, "dc"
    if isinstance(data, Contactor) and data.dc_rated is not None:
        return None, "dc"
    return None, "ac" if category.startswith("AC") or (rated and rated.kind == "AC") or rating.code else ""


def current_to_break(design: Design, part: Part) -> tuple[float, str, float, bool]:
    """What flows through a main switch [A], in which state, what it must break while its largest motor stands still
    [A], and whether it has one."""
    amps, state = max((_pole_current(design, (part.name, end)) for end in part.terminals), default=(0.0, ""))
    stalled = [(row.amps or 0.0) for row in design.inrushes if row.motor and part.name in row.contacts]
    return amps, state, amps + max(stalled, default=0.0), bool(stalled)


def most_at_pole(design: Design, part: Part) -> tuple[tuple[float, str], Node]:
    """The most that flows at a pole of a part [A], in which state, and that pole."""
    nodes = [(part.name, terminal) for terminal in part.terminals if terminal != "PE"]
    return max(((_pole_current(design, node), node) for node in nodes), default=((0.0, ""), (part.name, "")))


def device_dc_marking(data: object) -> Voltage | None:
    """The marking that counts on DC: its own, else the rated voltage where that says AC or DC."""
    own = getattr(data, "dc_voltage", None)
    if own is not None:
        return Voltage(own.volts, "DC")
    rated = _rated_voltage(data)
    return rated if rated is not None and rated.kind else None
