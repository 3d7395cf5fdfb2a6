"""The search for the operating point: DC and mains frequency solved apart, joined by converters and contacts.

Everything starts as if the machine were running: supplies live, coils picked up, logic reset. What cannot stay so
falls out, round by round, until nothing changes. So the answer is the state in which the machine runs, if it can.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from wiring.circuit.model import Circuit
from wiring.parts.elements import Coil, Input, Logic, Output, Switch
from wiring.solver.assembly import Actuator, Demand, ElementKey, Flow, Position, assemble
from wiring.solver.lowering import Lowered
from wiring.solver.operating import Layer, OperatingPoint
from wiring.solver.piecewise import Known, solve_in_pieces
from wiring.solver.solve import solve

#: Rounds of a machine in which little moves.
_ROUNDS = 60
#: Rounds that are added at a time: every turn that is looked for ends with them.
_STEP = 12
_SETTLED = 1e-12
#: Over the highest voltage that a winding bears: above it a core is saturated, and takes current in place of voltage.
_SATURATED = 1.3


def _layer(
    lowered: Lowered, kind: str, position: Position, flow: Flow, last: Layer | None, known: Known | None = None
) -> Layer:
    assembled = assemble(lowered, kind, position, flow)
    if last is not None and last.assembled.kept == assembled.kept and last.assembled.network == assembled.network:
        solution = last.solution
    elif known is None:
        solution = solve(assembled.network, assembled.prepared)
    else:
        solution = solve_in_pieces(assembled.network, assembled.prepared, known)
    # An unchanged network may still have other dead ends: a contact that feeds nothing opens without a trace in it.
    volts: list[complex | None] = [None] * lowered.count
    for node, n in assembled.at.items():
        volts[node] = solution.volts[n]
    for node, via in reversed(assembled.hung):
        volts[node] = volts[via] if via is not None else None
    return Layer(assembled, solution, tuple(volts))


def unloaded_layer(
    lowered: Lowered,
    position: Position,
    kind: str,
    output_v: Mapping[ElementKey, complex],
    known: Known | None = None,
) -> Layer:
    """One layer with converters that draw nothing from it; piece by piece where pieces are `known`."""
    return _layer(lowered, kind, position, Flow(output_v, {}), None, known)


class Machine:
    """The search for the point at which nothing changes any more; piece by piece where pieces are `known`."""

    def __init__(
        self,
        lowered: Lowered,
        position: Position,
        start: OperatingPoint | None,
        warm: OperatingPoint | None,
        known: Known | None = None,
    ) -> None:
        self.lowered, self.position, self.known = lowered, position, known
        self.last: dict[str, Layer] = {}
        if warm is not None and warm.lowered is lowered:
            self.last = {"DC": warm.dc, "AC": warm.ac}
        circuit = lowered.circuit
        self.outputs = circuit.keyed(Output)
        self.inputs = circuit.keyed(Input)
        self.coils = circuit.keyed(Coil)
        self.logics = circuit.keyed(Logic)
        self.feed_of = {(key[0], element.name): (key, element) for key, element in reversed(self.inputs.items())}
        self.fed_by: dict[tuple[str, str, str], list[ElementKey]] = {}
        for key, output in self.outputs.items():
            self.fed_by.setdefault((key[0], output.input or "", output.kind), []).append(key)
        self.unwired = {key for key, element in self.inputs.items() if _is_unwired(circuit, key[0], element)}
        self.output_v: dict[ElementKey, complex] = {
            key: output.volts if output.ratio is None else self._first_guess(key, output)
            for key, output in self.outputs.items()
            if key[0] not in position.off
        }
        self.input_w: dict[ElementKey, float] = {key: element.standby_w for key, element in self.inputs.items()}
        if warm is not None:
            self.input_w.update(warm.input_w)
        if start is None:
            self.attracted = {(key[0], coil.moves) for key, coil in self.coils.items()}
            self.attracted |= {(key[0], logic.outputs) for key, logic in self.logics.items()}
        else:
            self.attracted = set(start.attracted)
        self.attracted -= set(position.moved)  # an actuator given as moved by the caller is not ours to move
        self.held = frozenset(position.moved)
        self.locks = circuit.mechanical_locks
        #: Coils that were fed at once with one that they lock out: which of them is in is a matter of luck.
        self.tied: frozenset[Actuator] = frozenset()
        for actuator in sorted(self.locks, reverse=True):
            if self.is_locked_out(actuator):
                self.attracted.discard(actuator)

    def _first_guess(self, key: ElementKey, output: Output) -> complex:
        _, feed = self.feed_of.get((key[0], output.input or ""), (key, None))
        volts = feed.high_v / 1.15 if feed and feed.high_v != float("inf") else 24.0
        return max((output.ratio or 0.0) * volts - output.lost_v, 0.0)

    def solve_layers(self) -> tuple[Layer, Layer]:
        """Both layers with the contacts as they stand: DC first, since its supplies load the mains."""
        return self.solve_layer("DC"), self.solve_layer("AC")

    def solve_layer(self, kind: str) -> Layer:
        """One layer, solved again until its converters take what their outputs deliver."""
        lowered, position = self.seen(kind)
        for _ in range(_ROUNDS):
            flow = Flow(self.output_v, self.input_w)
            layer = _layer(lowered, kind, position, flow, self.last.get(kind), self.known)
            self.last[kind] = layer
            if not self._draw_inputs(layer, kind):
                break
        return layer

    def seen(self, kind: str) -> tuple[Lowered, Position]:
        """The circuit and its contacts as a layer sees them."""
        return self.lowered, replace(self.position, moved=self.held | self.attracted)

    def _draw_inputs(self, layer: Layer, kind: str) -> bool:
        """Set what each input draws from what its outputs deliver; True when a load at this frequency changed."""
        delivered: dict[tuple[str, str], float] = {}
        for key, amps, volts in _source_flows(layer):
            output = self.outputs[key]
            watts = max((volts * complex(amps).conjugate()).real, 0.0) / output.efficiency
            name = (key[0], output.input or "")
            delivered[name] = delivered.get(name, 0.0) + watts
        changed = False
        for key, element in self.inputs.items():
            name = (key[0], element.name)
            feeds = self.fed_by.get((*name, kind))
            if not feeds:
                continue
            watts = element.standby_w + delivered.get(name, 0.0)
            if not any(k in self.output_v for k in feeds):
                watts = 0.0
            if abs(watts - self.input_w[key]) > _SETTLED * max(watts, 1.0):
                self.input_w[key] = watts
                changed = changed or element.kind == kind
        return changed

    def settle(self) -> OperatingPoint:
        """The point at which nothing changes any more, or the last one looked at when it never comes to rest."""
        past: list[frozenset[object]] = []
        movers = len(self.coils) + len(self.logics) + len(self.outputs)
        for left in reversed(range(enough_rounds(_ROUNDS, movers))):
            dc, ac = self.solve_layers()
            changed = self.step(dc, ac)
            past.append(frozenset((*self.attracted, *self.output_v)))
            if not changed or goes_round(past, left):
                break
        return self.point(dc, ac, changed)

    def point(self, dc: Layer, ac: Layer, changed: list[str]) -> OperatingPoint:
        """The machine as it stands, with its two layers and what did not stay as it was."""
        return OperatingPoint(
            self.lowered,
            replace(self.position, moved=self.held | self.attracted),
            dc,
            ac,
            frozenset(self.attracted),
            frozenset(self.output_v),
            dict(self.input_w),
            not changed,
            tuple(sorted(set(changed))),
        )

    def step(self, dc: Layer, ac: Layer) -> list[str]:
        """What does not stay as it was, by name."""
        point = OperatingPoint(self.lowered, self.position, dc, ac, frozenset(), frozenset(), {}, True)
        return [*self.step_outputs(point), *self.step_coils(point), *self.step_logic()]

    def step_outputs(self, point: OperatingPoint) -> list[str]:
        changed = []
        for key, output in self.outputs.items():
            feed = self.feed_of.get((key[0], output.input or ""))
            if feed is None or feed[0] in self.unwired or key[0] in self.position.off:
                continue
            input_key, element = feed
            ends = (key[0], element.a), (key[0], element.b)
            volts = point.between(*ends, element.kind)
            live = abs(volts) >= element.low_v and abs(volts) > 0.0 and volts >= 0.0
            before = self.output_v.get(key)
            if not live:
                if before is not None:
                    del self.output_v[key]
                    self.input_w[input_key] = 0.0
                    changed.append(key[0])
            elif output.ratio is not None:
                held = min(abs(volts), _SATURATED * element.high_v) if element.kind == "AC" else abs(volts)
                now = max(output.ratio * held - output.lost_v, 0.0)
                if before is None or abs(now - before) > 1e-9 * max(now, 1.0):
                    self.output_v[key] = now
                    changed.append(key[0])
            elif before is None:
                self.output_v[key] = output.volts
                changed.append(key[0])
        return changed

    def step_coils(self, point: OperatingPoint) -> list[str]:
        """The coils that move, by name; of two that lock each other out and are fed at once, the first comes in, and
        both are `tied`."""
        before, moved = frozenset(self.attracted), []
        for actuator, name in self.first_to_move(sorted(self._moving(point))):
            if actuator in before:
                self.attracted.discard(actuator)
            elif self.is_locked_out(actuator):
                self.tied |= {actuator, *self.locks[actuator]}
                continue
            else:
                self.attracted.add(actuator)
            moved.append(name)
        return moved

    def _moving(self, point: OperatingPoint) -> Iterator[tuple[Actuator, str]]:
        """The coils that would move and may, each with its name."""
        for key, coil in self.coils.items():
            actuator = (key[0], coil.moves)
            was = actuator in self.attracted
            if self.may_move(actuator, coil, was) and self.attracts(key, coil, point, was) != was:
                yield actuator, f"{key[0]}:{coil.name}"

    def may_move(self, actuator: Actuator, coil: Coil, was: bool) -> bool:
        """Whether a coil that `was` attracted is free to move: nothing holds it, and no lock keeps it out."""
        return actuator not in self.held and (was or not self.is_locked_out(actuator))

    def first_to_move(self, moves: Sequence[tuple[Actuator, str]]) -> Sequence[tuple[Actuator, str]]:
        """Those of the coils that would move at once which do so before the others: here all of them."""
        return moves

    def attracts(self, key: ElementKey, coil: Coil, point: OperatingPoint, was: bool) -> bool:
        """Whether a coil that `was` attracted is so at a point: above its drop-out, else above its pick-up."""
        if key[0] in self.position.off:
            return False
        volts = abs(point.between((key[0], coil.a), (key[0], coil.b), coil.kind or "DC"))
        return volts >= (coil.drop_out_v if was else coil.pick_up_v)

    def is_locked_out(self, actuator: Actuator) -> bool:
        """Whether a mechanical lock keeps a contactor open because the one beside it is in."""
        return any(other in self.attracted or other in self.held for other in self.locks.get(actuator, ()))

    def step_logic(self) -> list[str]:
        """Logic that lost a channel or its supply lets go; it needs a reset to come back, which no state here makes."""
        changed = []
        for key, logic in self.logics.items():
            actuator = (key[0], logic.outputs)
            needs = [(key[0], name) for name in (logic.supply, *logic.channels)]
            if actuator in self.attracted and not all(need in self.attracted for need in needs):
                self.attracted.discard(actuator)
                changed.append(f"{key[0]} {logic.outputs}")
        return changed


def enough_rounds(least: int, movers: int) -> int:
    """Rounds in which each of some coils, units and supplies may move twice, all one after the other, and `least` where
    they are few: what has not come to rest by then goes round."""
    return least + _STEP * max(-(-(2 * movers - least) // _STEP), 0)


def goes_round(past: Sequence[frozenset[object]], left: int) -> bool:
    """Whether what is on has gone round four times, and stands as it will after the rounds that are left."""
    for period in (2, 3, 4, 6):
        turns = past[-4 * period :]
        if left % period == 0 and len(turns) == 4 * period and turns[period:] == turns[:-period]:
            return len(set(turns)) > 1
    return False


def _source_flows(layer: Layer) -> list[tuple[ElementKey, complex, complex]]:
    """Key, current and terminal voltage of every converter output in a layer."""
    flows = []
    network, solution = layer.assembled.network, layer.solution
    for key, source, amps in zip(layer.assembled.source_keys, network.sources, solution.source_a, strict=True):
        if key is not None and amps is not None:
            volts = solution.between(source.plus, source.minus)
            flows.append((key, complex(amps), complex(volts or 0.0)))
    return flows


def _is_unwired(circuit: Circuit, part: str, element: Input) -> bool:
    return not any(circuit.conductors_at((part, end)) for end in (element.a, element.b))


def program_outputs(circuit: Circuit) -> frozenset[Actuator]:
    """The outputs that a program drives."""
    return frozenset(
        (part.name, element.actuator)
        for part, element in circuit.elements(Switch)
        if isinstance(element, Switch) and element.actuator.startswith("output ")
    )


def operate(
    lowered: Lowered,
    position: Position,
    start: OperatingPoint | None = None,
    near: OperatingPoint | None = None,
    known: Known | None = None,
) -> OperatingPoint:
    """The operating point of a machine in a switching position, coming from `start` or from the running machine.

    `near` is any point of the same machine; it only makes the search shorter. Solved piece by piece where pieces are
    `known`.

    Never raises for a plan that was built: what cannot be solved is told by the solutions' outcome, and a machine whose
    contacts never come to rest by `settled`.
    """
    return Machine(lowered, position, start, near or start, known).settle()


def operate_on(
    point: OperatingPoint,
    *worked: Actuator,
    let_go: Actuator | None = None,
    opened: frozenset[str] = frozenset(),
    known: Known | None = None,
) -> OperatingPoint:
    """The machine as it goes on from a point once operators are worked, one is let go, and paths are `opened`; what its
    coils had attracted may fall out. Solved piece by piece where pieces are `known`."""
    held = point.position.moved - point.attracted - {let_go}
    position = replace(point.position, moved=held | frozenset(worked), opened=point.position.opened | opened)
    return Machine(point.lowered, position, point, point, known).settle()


def with_coils(point: OperatingPoint, attracted: frozenset[Actuator]) -> OperatingPoint:
    """The machine as its operators stand, from where some coils and units are in and no others: what holds itself so
    stays."""
    position = replace(point.position, moved=point.position.moved - point.attracted)
    return operate(point.lowered, position, replace(point, attracted=attracted), point)


def reload(point: OperatingPoint, demand: Mapping[ElementKey, Demand], kinds: tuple[str, ...]) -> OperatingPoint:
    """The same machine with other demands, every contact and supply as it stands in `point`.

    Layers whose kind is not in `kinds` are those of `point`.
    """
    machine = Machine(point.lowered, replace(point.position, demand=demand), point, point)
    machine.output_v = {key: volts for key, volts in machine.output_v.items() if key in point.live}
    dc = machine.solve_layer("DC") if "DC" in kinds else point.dc
    ac = machine.solve_layer("AC") if "AC" in kinds else point.ac
    return replace(point, position=replace(point.position, demand=demand), dc=dc, ac=ac, input_w=dict(machine.input_w))
