"""What stays joined to the supply while main switches are open."""

from __future__ import annotations

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.circuit.roles import Role
from wiring.design.design import Design
from wiring.design.edits import led_to
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Feed, Input, Pole, Resistance, Switch
from wiring.parts.incoming import Inlet
from wiring.parts.protection import Disconnector
from wiring.plan.edits import Edit


def still_live(design: Design, opened: frozenset[str], *, neutral: bool = False) -> set[Node]:
    """The points that stay joined to a live conductor of the supply while the devices in `opened` are open; those that
    stay joined to its neutral instead where that is asked."""
    feeds = [
        (part.name, e.terminal)
        for part, e in design.circuit.elements(Feed)
        if e.conductor != "PE" and (e.conductor == "N") == neutral
    ]
    bonds = {bond.id for bond in design.roles.bonds}

    def leads(edge: Edge, _: Node) -> bool:
        return edge.part not in opened if isinstance(edge, Inner) else edge.id not in bonds and edge.kind != "shield"

    return set(design.circuit.walk(feeds, leads))


def fed_parts(design: Design, reached: set[Node]) -> list[str]:
    """The parts that take power at a point that is reached from a live conductor."""
    found = set()
    for part, element in design.circuit.elements(Draw, Input, Coil, Resistance):
        assert isinstance(element, Draw | Input | Coil | Resistance)
        if isinstance(element, Resistance) and not element.load:
            continue
        if (part.name, element.a) in reached or (part.name, element.b) in reached:
            found.add(part.name)
    return sorted(found)


def neutral_left(design: Design, opened: frozenset[str]) -> tuple[str | None, list[str]]:
    """The earthing system, and the parts whose neutral stays on the mains while devices are open, where it may be
    live: not in a TN system (IEC 60204-1, 5.3.3, from memory)."""
    earthing = design.plan.mains.earthing if design.plan.mains else None
    may_be_live = earthing in (None, "TT", "IT")
    return earthing, fed_parts(design, still_live(design, opened, neutral=True)) if may_be_live else []


def is_main_switch(part: Part) -> bool:
    """Whether a part serves as the disconnecting device: a disconnector, or an inlet that says so."""
    return isinstance(part.data, Disconnector) or (isinstance(part.data, Inlet) and part.data.switch)


def cuts_all(design: Design, name: str) -> bool:
    """Whether nothing stays fed while a device is open."""
    return not fed_parts(design, still_live(design, frozenset((name,))))


def _is_way_in(conductor: Conductor, devices: set[str]) -> bool:
    """Whether a conductor only leads from the inlet to the main switch."""
    return all(end[0] in devices for end in conductor.ends)


def cuts_nothing(design: Design, name: str) -> bool:
    """Whether a disconnector stands nowhere in the supply."""
    return still_live(design, frozenset((name,))) == still_live(design, frozenset())


def live_wires(design: Design, reached: set[Node], devices: set[str]) -> list[Conductor]:
    """The conductors between points that stay live, those left out that only lead from the inlet to a main switch."""
    inside = [c for c in design.circuit.conductors if all(end in reached for end in c.ends)]
    return [c for c in inside if not _is_way_in(c, devices) and design.roles.of_conductor(c) is not Role.PE]


def contacts_of(part: Part) -> list[Pole | Switch]:
    """The poles and contacts of a part."""
    return [element for element in part.elements if isinstance(element, Pole | Switch)]


def led_behind_switch(design: Design, conductor: Conductor, switches: list[str]) -> tuple[Edit, ...]:
    """The conductor begun at the other side of the pole that it is joined to."""
    for name in switches:
        for pole in contacts_of(design.parts[name]):
            for near, far in ((pole.a, pole.b), (pole.b, pole.a)):
                if (name, near) in conductor.ends:
                    return led_to(design, conductor, (name, near), (name, far))
    return ()
