"""One moment of the sound machine as a linear network: what a fault changes in it, as long as nothing switches.

Loads of constant power count as the resistance that they are at this moment, and are corrected until they draw what
they draw. A coil, a supply, a fuse or a diode that would act otherwise than in the sound machine ends the matter: the
fault is then simulated.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring.parts.elements import Coil, Input, Output
from wiring.powerup.linearised_items import CLOSE, ConstantPowerLoad, FaultResponse, Supply, SwitchingThreshold
from wiring.powerup.low_rank_update import BranchChange, Changed, FactoredNetwork
from wiring.solver.assembly import ElementKey, passive_branches
from wiring.solver.lowering import ConductingElement
from wiring.solver.network import Scalar
from wiring.solver.operating import OperatingPoint
from wiring.solver.solution import Outcome, SourceMode
from wiring.solver.state import is_one_quadrant, limit_voltage

#: What stands in for an idle load, so that its far end is not adrift [S].
_LEAK_S = 1e-7
_SAME, _ROUNDS, _LIMITING = 1e-7, 12, 2
#: A load whose voltage falls to less than this share runs no more; between both, the matter is simulated.
_GONE, _RUNS = 1e-3, 0.6
#: Two voltages this close are the same.
_STILL_V = 1e-9
#: A change of power below this does not reach the mains [W], and as a share.
_LITTLE_W, _LITTLE = 0.01, 1e-3


class LinearisedPoint:
    """One frequency of one moment. `trips` are currents at which paths open [A] by id, `edges` the paths that conduct,
    `upstream_a` what the building's breaker lets through. Not `usable` where the moment itself has no answer."""

    def __init__(
        self,
        point: OperatingPoint,
        kind: str,
        edges: Mapping[str, ConductingElement],
        trips: Mapping[str, float],
        upstream_a: float,
    ) -> None:
        self.point, self.kind, self.upstream_a = point, kind, upstream_a
        self.layer = point.layer(kind)
        self.usable = self.layer.solution.outcome not in (Outcome.COLLAPSED, Outcome.UNDECIDED)
        self.kept = self.layer.assembled.kept
        self.volts = self._volts()
        self.same = FaultResponse(self.volts, range(len(self.volts)), {}, True)
        if not self.usable:
            return
        self.watches: list[SwitchingThreshold] = []
        self.takers: list[ConstantPowerLoad] = []
        self.supplies: list[Supply] = []
        self.mains: list[Supply] = []
        passive = passive_branches(point.lowered, kind, point.position)
        self.branches = [(branch.a, branch.b, 1.0 / branch.ohm) for branch in passive]
        self._sources()
        self._loads()
        self._diodes()
        for name, limit in trips.items():
            if name in edges:
                edge = edges[name]
                self.watches.append(SwitchingThreshold(edge.a, edge.b, limit * edge.ohm))
        self.ratio_fed = self._thresholds()
        self.ends = sorted({end for taker in self.takers for end in (taker.a, taker.b)})
        self.network = FactoredNetwork(point.lowered.count, self.branches)
        roots, volts = self.network.roots, self.volts
        # Each island's tie to ground must carry nothing: its root stands at 0 V.
        self.volts = [*(volt - volts[root] for volt, root in zip(volts, roots, strict=False)), 0.0]
        self.same = FaultResponse(self.volts, self.network.roots, {}, True)
        self.delivered = [self._delivered(self.same, supply) for supply in self.supplies]
        self.states = [self._state(self.same, watch) for watch in self.watches]

    def _volts(self) -> list[Scalar]:
        volts: list[Scalar] = [0.0] * (self.point.lowered.count + 1)
        for node, value in zip(self.kept, self.layer.solution.potentials, strict=True):
            volts[node] = 0.0 if value is None else value
        for node, via in reversed(self.layer.assembled.hung):
            volts[node] = volts[via] if via is not None else 0.0
        return volts

    def _sources(self) -> None:
        assembled, solution, kept = self.layer.assembled, self.layer.solution, self.kept
        for key, source, mode in zip(
            assembled.source_keys, assembled.network.sources, solution.source_mode, strict=True
        ):
            plus, minus = kept[source.plus], kept[source.minus]
            one_quadrant = is_one_quadrant(source)
            if mode is SourceMode.CONSTANT_VOLTAGE:
                self.branches.append((plus, minus, 1.0 / source.ohm))
                found = Supply(key, plus, minus, source)
                if one_quadrant:
                    self.watches.append(SwitchingThreshold(plus, minus, abs(source.volts) + _STILL_V, True, 0.0))
                    if source.limit_a is not None and not found.limits:
                        self.watches.append(SwitchingThreshold(plus, minus, limit_voltage(source), True, 0.0))
                (self.mains if key is None else self.supplies).append(found)
            else:
                self.usable = self.usable and mode is SourceMode.BLOCKED
                self.branches.append((plus, minus, _LEAK_S))
                self.watches.append(SwitchingThreshold(plus, minus, abs(source.volts), True, 0.0))

    def _loads(self) -> None:
        assembled, solution, kept = self.layer.assembled, self.layer.solution, self.kept
        network = assembled.network
        for key, load, amps in zip(assembled.power_keys, network.powers, solution.power_a, strict=True):
            self._load(key, kept[load.a], kept[load.b], amps or 0.0, load.lockout_v, False)
        for key, draw, amps in zip(assembled.current_keys, network.currents, solution.current_a, strict=True):
            self._load(key, kept[draw.a], kept[draw.b], amps or 0.0, 0.0, True)

    def _load(self, key: ElementKey, a: int, b: int, amps: Scalar, lockout_v: float, constant: bool) -> None:
        across = self.volts[a] - self.volts[b]
        if not amps or abs(across) < _GONE:
            self.branches.append((a, b, _LEAK_S))
            self.watches.append(SwitchingThreshold(a, b, lockout_v or _GONE))
            return
        siemens = amps / across
        self.branches.append((a, b, siemens))
        self.watches.append(SwitchingThreshold(a, b, lockout_v))
        apparent = 0.0 if constant else across * complex(amps).conjugate()
        taken = amps / across * abs(across) if constant else 0.0
        self.takers.append(ConstantPowerLoad(key, a, b, siemens, apparent, taken))

    def _diodes(self) -> None:
        kept = self.kept
        for diode, amps in zip(self.layer.assembled.network.diodes, self.layer.solution.diode_a, strict=True):
            on = amps is not None and amps.real > 0.0
            self.branches.append((kept[diode.a], kept[diode.b], 1.0 / diode.ohm if on else _LEAK_S))
            self.watches.append(SwitchingThreshold(kept[diode.a], kept[diode.b], diode.drop_v, True))

    def _thresholds(self) -> list[tuple[int, int]]:
        """Watches on coils and inputs; the inputs whose voltage sets that of an output come back."""
        lowered, point, ratio_fed = self.point.lowered, self.point, []
        for part in lowered.circuit.parts.values():
            fed = {e.input: e.ratio is not None for e in part.elements if isinstance(e, Output)}
            for element in part.elements:
                if isinstance(element, Coil) and (element.kind or "DC") == self.kind:
                    was = (part.name, element.moves) in point.attracted
                    limit, signed = self._coil_limit(part.name, element, was), False
                elif isinstance(element, Input) and element.kind == self.kind and element.name in fed:
                    limit, signed = element.low_v, self.kind == "DC"
                else:
                    continue
                a, b = lowered.index[part.name, element.a], lowered.index[part.name, element.b]
                self.watches.append(SwitchingThreshold(a, b, limit, signed))
                if isinstance(element, Input) and fed[element.name]:
                    ratio_fed.append((a, b))
        return ratio_fed

    def _coil_limit(self, name: str, coil: Coil, was: bool) -> float:
        """What a coil's voltage must stay above or below; one above its pick-up must stay there, however it came on."""
        index = self.point.lowered.index
        volts = abs(self.volts[index[name, coil.a]] - self.volts[index[name, coil.b]])
        return coil.drop_out_v if was and volts < coil.pick_up_v else coil.pick_up_v

    def _state(self, shift: FaultResponse, watch: SwitchingThreshold) -> tuple[Scalar, bool]:
        across = shift.between(watch.a, watch.b)
        return across, (across.real if watch.signed else abs(across)) >= watch.threshold

    # With a fault.

    def shift(
        self, changes: Sequence[BranchChange], watts: Mapping[ElementKey, float], limits: Sequence[SwitchingThreshold]
    ) -> FaultResponse | None:
        """What changes come to; None where something switches or the matter is too close to call. `watts` are other
        powers of inputs, `limits` further voltages that must stay below their threshold."""
        if not self.usable:
            return None
        if not watts and self.network.is_idle(changes, self.volts):
            return self.same if self._within(self.same, limits) else None
        limiting: list[Supply] = []
        for _ in range(_LIMITING):
            changed = self.network.change([*changes, *(supply.limit_patch for supply in limiting)])
            shift = None if changed is None else self._settled(changed, watts, limiting)
            if shift is None:
                return None
            wrong = [supply for supply in self.supplies if supply.limits and self._limits(shift, supply, limiting)]
            if not wrong:
                return shift if self._holds(shift) and self._within(shift, limits) else None
            if limiting:
                return None
            limiting = wrong
        return None

    @staticmethod
    def _limits(shift: FaultResponse, supply: Supply, limiting: Sequence[Supply]) -> bool:
        """Whether a source that holds its current, or one that does not, stands where it cannot."""
        below = shift.between(supply.plus, supply.minus).real < limit_voltage(supply.source)
        return below != (supply in limiting)

    @staticmethod
    def _within(shift: FaultResponse, limits: Sequence[SwitchingThreshold]) -> bool:
        return all(abs(shift.between(watch.a, watch.b)) < watch.threshold * (1.0 - CLOSE) for watch in limits)

    def _settled(
        self, changed: Changed, watts: Mapping[ElementKey, float], limiting: Sequence[Supply]
    ) -> FaultResponse | None:
        """Voltages at which every load takes what it takes; some sources hold their current."""
        chord = changed.moved(self.volts)
        if limiting:
            held = changed.solve(self._fed([supply.limit_feed for supply in limiting]))
            chord = [value + more for value, more in zip(chord, held, strict=True)]
        volts, drawn = chord, dict(watts)
        for _ in range(_ROUNDS):
            shift = FaultResponse(volts, changed.roots, drawn)
            drawn = {**watts, **self._drawn(shift)}
            right = self._corrections(shift, drawn)
            if right is None:
                return None
            if not right:
                return FaultResponse(volts, changed.roots, drawn)
            step = changed.solve(self._fed(right))
            before, volts = volts, [value + more for value, more in zip(chord, step, strict=True)]
            if all(abs(volts[n] - before[n]) < _SAME for n in self.ends):
                return FaultResponse(volts, changed.roots, drawn)
        return None

    def _fed(self, currents: Sequence[tuple[int, int, Scalar]]) -> list[Scalar]:
        """Currents out of one node and into another, as what is fed into every node."""
        feed: list[Scalar] = [0.0] * (self.network.count + 1)
        for a, b, amps in currents:
            feed[a] -= amps
            feed[b] += amps
        return feed

    def _drawn(self, shift: FaultResponse) -> dict[ElementKey, float]:
        """Inputs that now feed another power, by what their outputs deliver [W]."""
        found: dict[ElementKey, float] = {}
        parts = self.point.lowered.circuit.parts
        for supply, was in zip(self.supplies, self.delivered, strict=True):
            now = self._delivered(shift, supply)
            if supply.key and abs(now - was) > max(_LITTLE_W, _LITTLE * abs(was)):
                name, n = supply.key
                output = parts[name].elements[n]
                assert isinstance(output, Output)
                for place, element in enumerate(parts[name].elements):
                    if isinstance(element, Input) and element.name == (output.input or ""):
                        key = (name, place)
                        before = found.get(key, self.point.input_w.get(key, 0.0))
                        found[key] = max(before + (now - was) / output.efficiency, 0.0)
        return found

    @staticmethod
    def _delivered(shift: FaultResponse, supply: Supply) -> float:
        across = shift.between(supply.plus, supply.minus)
        amps = supply.current(across)
        if supply.limits:
            amps = min(amps.real, supply.source.limit_a or 0.0)
        return (across * complex(amps).conjugate()).real

    def _corrections(
        self, shift: FaultResponse, watts: Mapping[ElementKey, float]
    ) -> list[tuple[int, int, Scalar]] | None:
        """What loads take beyond their chord conductance; None where one stands between on and off."""
        found: list[tuple[int, int, Scalar]] = []
        for taker in self.takers:
            across, before = shift.between(taker.a, taker.b), self.volts[taker.a] - self.volts[taker.b]
            share = abs(across) / abs(before)
            other = taker.key in watts
            if share < _GONE or (not other and abs(across - before) < _SAME * abs(before)):
                continue
            if share < _RUNS or (self.kind == "DC" and (across / before).real < 0.0):
                return None
            scale = 1.0
            if other:
                now = self.point.input_w.get(taker.key, 0.0)
                scale = watts[taker.key] / now if now > 0.0 else 0.0
            if taker.amps:
                amps: Scalar = taker.amps * across / abs(across)
            else:
                amps = scale * complex(taker.apparent / across).conjugate()
            found.append((taker.a, taker.b, (amps.real if self.kind == "DC" else amps) - taker.siemens * across))
        return found

    def _holds(self, shift: FaultResponse) -> bool:
        """Whether everything acts as in the sound machine."""
        for watch, (before, over) in zip(self.watches, self.states, strict=True):
            across = shift.between(watch.a, watch.b)
            if abs(across - before) <= _STILL_V:
                continue
            size = across.real if watch.signed else abs(across)
            if (size >= watch.threshold) != over or abs(size - watch.threshold) < watch.close * watch.threshold:
                return False
        for supply in self.mains:
            amps = supply.current(shift.between(supply.plus, supply.minus))
            if self.kind == "AC" and abs(amps) > self.upstream_a:
                return False
        return not any(abs(shift.between(a, b) - self.same.between(a, b)) > CLOSE for a, b in self.ratio_fed)
