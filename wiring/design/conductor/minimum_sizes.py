"""What a conductor is for and where it lies, and the least size that its book has for that."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.conductor.place import is_outside
from wiring.design.conductor.use import braking_circuit, circuit_use
from wiring.design.design import Design
from wiring.parts.elements import Function, Switch
from wiring.parts.signals import Encoder, Sensor
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit

_SIGNALS = (Function.INPUT, Function.OUTPUT, Function.COMMON)


_UNJUDGED = (Role.PE, Role.SHIELD, Role.NONE)


SizeKind = tuple[str, str, int, bool, bool]


def _size_kind(design: Design, conductor: Conductor) -> SizeKind:
    """Place, use, cores, shielded, moving."""
    cable = design.origins.cable_of(conductor)
    route = design.plan.routes.get(conductor.route or "")
    moving = bool(cable and cable.flexing) or (route is not None and route.kind == "chain")
    place = "machine" if is_outside(design.machine, conductor) else "enclosure"
    shielded = cable is not None and cable.shield is not None
    return place, _circuit_sort(design, conductor), conductor.cores if cable else 1, shielded, moving


def _circuit_sort(design: Design, conductor: Conductor) -> str:
    use = circuit_use(design.machine, conductor)
    if use == "power":
        return use
    ends = [end for end in conductor.ends if end[0] in design.parts]
    if any(isinstance(design.parts[part].data, Encoder) for part, _ in ends):
        return "data"
    electronic = use == "signal" or any(_is_electronic(design, part, terminal) for part, terminal in ends)
    return "data" if electronic and design.plan.rulebook == "na" else "control"


def _is_electronic(design: Design, part: str, terminal: str) -> bool:
    """Whether an end belongs to a sensor, a card's signals, or a contact that a card reads."""
    if isinstance(design.parts[part].data, Sensor) or design.parts[part].terminals[terminal].function in _SIGNALS:
        return True
    contacts = [e for e in design.parts[part].of(Switch) if terminal in (e.a, e.b)]
    return any(design.roles.role[part, end] is Role.SIGNAL for e in contacts for end in (e.a, e.b))


def _minimum_size(design: Design, kind: SizeKind, conductor_class: str) -> Limit | NotTabled:
    place, use, cores, shielded, moving = kind
    return design.book.minimum_size(
        place, use, cores=cores, shielded=shielded, conductor_class=conductor_class, moving=moving
    )


class MinimumSizes:
    """The least sizes of the book, each asked once."""

    def __init__(self, design: Design) -> None:
        self.design = design
        self.known: dict[tuple[SizeKind, str], Limit | NotTabled] = {}

    def least(self, kind: SizeKind, conductor_class: str) -> Limit | NotTabled:
        if (kind, conductor_class) not in self.known:
            self.known[kind, conductor_class] = _minimum_size(self.design, kind, conductor_class)
        return self.known[kind, conductor_class]


def sized_conductors(design: Design) -> Iterator[tuple[Conductor, SizeKind]]:
    """Every conductor with a size that is judged by its place and use, with these."""
    for conductor in design.circuit.conductors:
        judged = design.roles.of_conductor(conductor) not in _UNJUDGED
        if conductor.size is not None and (judged or braking_circuit(design.machine, conductor) is not None):
            yield conductor, _size_kind(design, conductor)
