"""What a control transformer gives while the coils of contactors, relays, valves and brakes on it close.

An AC magnet that is open takes many times what it takes while it holds. A transformer is its voltage at no load behind
a resistance. All currents are counted as in phase, which bounds the voltage: |1 + R Y| is at most 1 + R |Y|.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Input, Output, Switch
from wiring.parts.incoming import Transformer
from wiring.parts.loads import Valve
from wiring.parts.motors import Brake
from wiring.parts.switching import Coiled
from wiring.solver.operating import OperatingPoint
from wiring.solver.passive import coil_ohm

#: Of what a coil takes while it holds, the most that it takes while it closes; common practice, no source.
MOST_PICK_UP = 15.0


class Magnet(Struct, frozen=True):
    """An AC coil at its rated voltage [V], and what it takes while it closes [VA].

    `picks_up_va` is an upper bound where the plan does not say it (not `known`); `gate` closes its circuit last.
    """

    part: str
    key: tuple[str, int]
    coil: Coil
    volts: float
    picks_up_va: float
    known: bool
    gate: tuple[object, ...]

    def is_in(self, point: OperatingPoint) -> bool:
        """Whether it holds in an operating point."""
        return point.between((self.part, self.coil.a), (self.part, self.coil.b), "AC") > self.coil.drop_out_v


class PullIn(Struct, frozen=True):
    """Coils that close together on a transformer of `rated_va` in a state, beside what else it feeds then.

    `no_load_v` and `ohm` are its voltage without any load and its resistance; `held_va` is the rest of the load and
    `closing_va` that of the coils, both at the rated voltage of the coils `rated_v`; the lowest coil must get `must_v`.
    """

    transformer: str
    state: str
    magnets: tuple[Magnet, ...]
    rated_va: float
    no_load_v: float
    ohm: float
    rated_v: float
    held_va: float
    closing_va: float
    must_v: float

    @property
    def volts(self) -> float:
        """What is left at the secondary [V], at least: E / (1 + R S / U²) of loads that are constant impedances."""
        return self.no_load_v / (1.0 + self.ohm * (self.held_va + self.closing_va) / self.rated_v**2)

    @property
    def is_too_low(self) -> bool:
        """Whether the coils may not close."""
        return self.volts < self.must_v * (1.0 - 1e-9)

    @property
    def unknown(self) -> tuple[str, ...]:
        """The coils whose pick-up power is only bounded."""
        return tuple(one.part for one in self.magnets if not one.known)

    @property
    def needed_va(self) -> float:
        """The rating whose resistance leaves `must_v` [VA], at the same regulation; infinite where none does."""
        spare = self.no_load_v / self.must_v - 1.0
        load = self.ohm * (self.held_va + self.closing_va) / self.rated_v**2
        return self.rated_va * load / spare if spare > 0.0 else inf


#: How much a transformer up to a rating [VA] may stand higher without load than with it, as a share of the latter
#: (IEC 61558-2-6, from memory).
_LARGEST_REGULATION = ((10.0, 1.0), (25.0, 0.5), (63.0, 0.2), (250.0, 0.15), (630.0, 0.10), (inf, 0.05))


def may_be_softer(design: Design, one: PullIn) -> bool:
    """Whether coils that close by the regulation that is taken for a transformer may not by the most that its standard
    allows; False for one that says its own."""
    data = design.parts[one.transformer].data
    assert isinstance(data, Transformer)
    if "regulation" in data.model_fields_set or one.is_too_low:
        return False
    most = next(share for most_va, share in _LARGEST_REGULATION if data.rated <= most_va)
    no_load_v = one.no_load_v * (1.0 + most) / (1.0 + data.regulation)
    return replace(one, no_load_v=no_load_v, ohm=one.ohm * most / data.regulation).is_too_low


def pull_ins(design: Design) -> Iterator[PullIn]:
    """For every transformer with AC coils, each set that may close at once, in every state; in each also what no state
    holds."""
    for part in design.parts.values():
        if isinstance(part.data, Transformer):
            magnets = list(_magnets(design, part.name))
            yield from _of_transformer(design, part, magnets) if magnets else ()


def _of_transformer(design: Design, part: Part, magnets: list[Magnet]) -> Iterator[PullIn]:
    loaded = design.operation.loaded
    in_states = {state: {one.part for one in magnets if one.is_in(point)} for state, point in loaded.items()}
    ever = frozenset[str]().union(*in_states.values())
    for state, held in in_states.items():
        groups: dict[tuple[object, ...], list[Magnet]] = {}
        for one in magnets:
            if one.part in held or one.part not in ever:
                groups.setdefault((one.part in held, *one.gate), []).append(one)
        for group in groups.values():
            yield from _pull_in(part, state, loaded[state], group)


def _pull_in(part: Part, state: str, point: OperatingPoint, group: list[Magnet]) -> Iterator[PullIn]:
    assert isinstance(part.data, Transformer)
    [(n, output)] = [(n, element) for n, element in enumerate(part.elements) if isinstance(element, Output)]
    [winding] = part.of(Input)
    volts = point.between((part.name, output.plus), (part.name, output.minus), "AC")
    if volts <= 0.0:
        return
    rest = _rest(point, abs(point.element_current("AC").get((part.name, n), 0.0)) / volts, (part.name, n), group)
    rated_v = max(one.volts for one in group)
    yield PullIn(
        part.name,
        state,
        tuple(group),
        part.data.rated,
        point.between((part.name, winding.a), (part.name, winding.b), "AC") * (output.ratio or 0.0),
        output.ohm,
        rated_v,
        rest * rated_v**2,
        sum(one.picks_up_va * (rated_v / one.volts) ** 2 for one in group),
        max(one.coil.pick_up_v for one in group),
    )


def _rest(point: OperatingPoint, siemens: float, source: tuple[str, int], group: list[Magnet]) -> float:
    """What a source feeds beside those of a group that hold, as an admittance [S]; with them it is `siemens`.

    The voltage has the phase of a coil's current times its impedance, whichever way round the coil is connected.
    """
    held = [one for one in group if one.is_in(point)]
    amps = point.element_current("AC")
    if not held or not siemens:
        return siemens
    first = held[0]
    turned = amps[source] / (amps[first.key] * coil_ohm(first.coil))
    loads = siemens * turned / abs(turned)
    return abs((loads if loads.real >= 0.0 else -loads) - sum(1.0 / coil_ohm(one.coil) for one in held))


def _magnets(design: Design, transformer: str) -> Iterator[Magnet]:
    """The AC coils of contactors, relays, valves and brakes that a transformer feeds."""
    gates = _gates(design)
    for part in design.parts.values():
        data = part.data
        if not isinstance(data, Coiled | Valve | Brake):
            continue
        rated = data.coil if isinstance(data, Coiled) else data.rated
        if rated.voltage.kind != "AC":
            continue
        [(n, coil)] = [(n, element) for n, element in enumerate(part.elements) if isinstance(element, Coil)]
        if transformer in _sources(design, part.name, coil):
            volts, said = rated.voltage.volts, data.pick_up
            most = said if said is not None else MOST_PICK_UP * volts**2 / abs(coil_ohm(coil))
            ends = (design.nets.of[part.name, end] for end in (coil.a, coil.b))
            ahead = ([gate for gate in gates.get(net, ()) if gate[0] != part.name] for net in ends)
            gate = next((found[0] for found in ahead if len(found) == 1), (part.name,))
            yield Magnet(part.name, (part.name, n), coil, volts, most, said is not None, gate)


def _sources(design: Design, name: str, coil: Coil) -> set[str]:
    paths = design.short_circuits.paths
    reached = (paths.hot.get((name, end)) for end in (coil.a, coil.b))
    return {paths.origins[one.origin].part for one in reached if one is not None}


def _gates(design: Design) -> Mapping[Node, set[tuple[object, ...]]]:
    """By net the contacts that end there; those of one actuator close together, and those of a coil only hold it."""
    found: dict[Node, set[tuple[object, ...]]] = {}
    for part, switch in design.circuit.elements(Switch):
        for end in (switch.a, switch.b):
            gate = (part.name, switch.actuator, switch.closed_at_rest)
            found.setdefault(design.nets.of[part.name, end], set()).add(gate)
    return found
