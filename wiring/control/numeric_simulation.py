"""The same sequence in numbers: the machine solved at every moment, with its faults, coils and units in motion.

What the screen cannot decide, and every danger that it reports, is played here: real voltages against pick-up and
drop-out, fuses that blow, resets that count. Transients, bounce and inductance are outside of the model.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.alive import is_alive
from wiring.control.condition import Condition
from wiring.control.fault_record import Fault
from wiring.control.inject import TOGETHER
from wiring.control.layers import LayeredMachine, Solved, solved_from
from wiring.control.overload import most_overloaded, shorted_mains, trips_at, with_bridges
from wiring.control.script import Moment, StopUse, springing_back
from wiring.effort import spend
from wiring.parts.elements import Coil, Logic
from wiring.solver.assembly import Actuator
from wiring.solver.operating import Layer, OperatingPoint
from wiring.solver.settling import enough_rounds, goes_round, program_outputs

_ROUNDS = 40
_EVENTS = 4
#: Moves that the fastest coil is ahead of the others: one in and one out. One that chatters holds nothing up.
_AHEAD = 2
#: Times its limit that a device carries while contacts go round, which close it for half the time or less, before it
#: surely opens (own choice).
_IN_TURN = 5.0


class Snapshot(Struct, frozen=True):
    """The machine at one moment. `alive` are targets; `reason` is empty unless contacts never came to rest, `doubt`
    unless a network had no operating point; `steady` targets are alive however contacts that never rest stand; `tied`
    are coils of which luck decided up to then which one is in."""

    alive: tuple[str, ...]
    point: OperatingPoint
    settled: bool
    reason: str = ""
    doubt: str = ""
    steady: tuple[str, ...] = ()
    tied: frozenset[Actuator] = frozenset()


class ControlSimulator(LayeredMachine):
    """A machine that keeps its state from moment to moment."""

    def __init__(
        self,
        running: OperatingPoint,
        use: StopUse,
        device: str,
        faults: Sequence[Fault],
        condition: Condition,
        solved: Solved,
    ) -> None:
        self.outputs_of_programs = program_outputs(running.lowered.circuit) & running.position.moved
        position = replace(running.position, moved=self.outputs_of_programs)
        super().__init__(running.lowered, position, running, solved, condition.carried)
        self.use, self.device, self.faults, self.condition = use, device, faults, condition
        self.stuck_on: frozenset[Actuator] = frozenset()
        self.stuck_off: frozenset[Actuator] = frozenset()
        self.operated = use.worked
        self.programs = self.outputs_of_programs
        self.late = True
        self.trips = trips_at(running.lowered.circuit)
        self.pressed: dict[Actuator, bool] = {}
        self.opened: dict[Actuator, bool] = {}
        self.ahead = 0
        self.circuit = running.lowered.circuit
        self.live_lowered = running.lowered

    def run_to_stop(self) -> dict[Moment, Snapshot]:
        """The sequence from the moment at which the fault appears until the stop is worked."""
        seen = {}
        if not self.condition.while_stopped:
            self._appear()
        seen[Moment.FAULT] = self.rest()
        self.programs = self.outputs_of_programs if self.condition.outputs_on else frozenset()
        self.operated = self.use.stopped(self.device, self.use.worked)
        seen[Moment.STOP] = self.rest()
        if self.condition.while_stopped:
            self._appear()
            seen[Moment.STOP] = self.rest()
        return seen

    def run_script(self) -> dict[Moment, Snapshot]:
        """The whole sequence."""
        seen = self.run_to_stop()
        seen[Moment.TRIED] = self._tried(seen[Moment.STOP])
        self.operated = self.use.released(self.device, self._left_alone())
        seen[Moment.RELEASE] = seen[Moment.HELD] = self.rest()
        seen[Moment.AGAIN] = self._start_again(seen[Moment.RELEASE])
        self.programs = self.outputs_of_programs if self.condition.outputs_on else frozenset()
        seen[Moment.DEMAND] = self._demanded()
        before = seen[Moment.AGAIN]
        for on, moment in ((False, Moment.MAINS_OFF), (True, Moment.MAINS_ON)):
            self.mains(on=on)
            self.operated = self._left_alone()
            now = self.rest()
            seen[moment] = replace(now, alive=tuple(name for name in now.alive if name not in before.alive))
            before = now
        return seen

    def _tried(self, stopped: Snapshot) -> Snapshot:
        """The other operators worked while the stop is in, then let go."""
        found = stopped
        if self.condition.changed:
            self.operated = self.use.stopped(self.device, self.use.worked ^ self.condition.changed)
            found = self.rest()
        left_alone = self.use.stopped(self.device, self._left_alone())
        if left_alone != self.operated:
            self.operated = left_alone
            self.rest()
        return found

    def _demanded(self) -> Snapshot:
        """The stop worked again, after which everything is put back as it was."""
        kept = copy(self)
        kept.attracted, kept.output_v, kept.input_w = set(self.attracted), dict(self.output_v), dict(self.input_w)
        kept.pressed, kept.opened, kept.last = dict(self.pressed), dict(self.opened), dict(self.last)
        kept.doubts = dict(self.doubts)
        kept.operated = self.use.stopped(self.device, self.use.worked)
        return kept.rest()

    def _left_alone(self) -> frozenset[Actuator]:
        return self.condition.left_alone(self.use, self.use.worked)

    def _start_again(self, released: Snapshot) -> Snapshot:
        """The start devices pressed and let go one after the other; a reset with no hand on anything else."""
        left_on, restless, now = self.programs, "", released
        unhanded = self.use.worked - springing_back(self.use.operators)
        as_running = self.use.worked, self.outputs_of_programs
        for start in self.use.starts:
            hands, programs = (unhanded, left_on) if start in self.use.resets else as_running
            pressed = frozenset({(start, "operator")})
            for operated in (hands, hands | pressed, hands - pressed):
                now = self._stand(operated, programs, now)
            restless = (now.reason if start in self.use.resets else "") or restless
            now = self._stand(*as_running, now)
        again = self._stand(*as_running, now)
        return replace(again, settled=False, reason=restless) if restless and again.settled else again

    def _stand(self, operated: frozenset[Actuator], programs: frozenset[Actuator], before: Snapshot) -> Snapshot:
        """The machine at rest with operators and outputs put so; as it was before where they stand so already."""
        if (operated, programs) == (self.operated, self.programs):
            return before
        self.operated, self.programs = operated, programs
        return self.rest()

    def mains(self, *, on: bool) -> None:
        """Switch the incoming supply; its impedances stay."""
        live = self.live_lowered
        self.lowered = live if on else live.memory.setdefault("mains off", replace(live, mains_sources=()))

    def _appear(self) -> None:
        faults = self.faults
        self.live_lowered = self.lowered = with_bridges(self.lowered, faults)
        opened = {path for fault in faults for path in fault.opened}
        closed = {path for fault in faults for path in fault.closed}
        dead = {part for fault in faults for part in fault.dead}
        self.stuck_on = frozenset(actuator for fault in faults for actuator in fault.on)
        self.stuck_off = frozenset(actuator for fault in faults for actuator in fault.off)
        self.position = replace(
            self.position,
            opened=self.position.opened | opened,
            closed=self.position.closed | closed,
            off=self.position.off | dead,
        )
        self.output_v = {key: volts for key, volts in self.output_v.items() if key[0] not in dead}

    # Coming to rest.

    def rest(self, *, at_once: bool = False) -> Snapshot:
        """The machine at rest, as it is operated now: contacts, coils, fuses, resets, then, unless it is looked at
        `at_once`, what is delayed."""
        delayed = self._delayed()
        point, changed = self.run(late=not delayed)
        if delayed and not at_once:
            point, changed = self.run(late=True)
        reason = f"never at rest: {', '.join(changed)}" if changed else ""
        turn = self.passed[len(self.passed) // 2 :] if changed else [point]  # a turn is taken four times, or for long
        alive = {target.name: [is_alive(target, one) for one in turn] for target in self.use.targets}
        ever = tuple(name for name, seen in alive.items() if any(seen))
        steady = tuple(name for name, seen in alive.items() if all(seen))
        doubt = self.doubts["DC"] or self.doubts["AC"]
        return Snapshot(ever, point, not changed, reason, doubt, steady, self.tied)

    def _delayed(self) -> bool:
        return any(coil.on_delay_s or coil.off_delay_s for coil in self.coils.values()) or any(
            unit.off_delay_s for unit in self.logics.values()
        )

    def run(self, late: bool) -> tuple[OperatingPoint, list[str]]:
        """Contacts, coils, fuses and resets come to rest, what is delayed too where it is `late`; and what did not."""
        self.late = late
        for _ in range(enough_rounds(_EVENTS, len(self.logics)) + 1):
            point, changed = self._settle()
            fired = [] if changed else self._resets()
            if not fired:
                break
        return point, changed or fired

    def _settle(self) -> tuple[OperatingPoint, list[str]]:
        changed: list[str] = []
        past: list[frozenset[object]] = []
        self.passed: list[OperatingPoint] = []
        movers = len(self.coils) + len(self.logics) + len(self.trips)
        for left in reversed(range(enough_rounds(_ROUNDS, movers))):
            self.held = (self.operated | self.programs | self.stuck_on) - self.stuck_off
            self.attracted -= self.held | self.stuck_off
            spend(len(self.lowered.index))
            dc, ac = self.solve_layers()
            changed = self.step(dc, ac)
            point = self.point(dc, ac, changed)
            self.passed.append(point)
            past.append(frozenset((*self.attracted, *self.output_v)))
            if changed and goes_round(past, left):
                if not self._open_in_turn():
                    break
                past.clear()
            elif not changed and not self._blow(point) and not self._lose_mains(ac):
                break
        return point, sorted(set(changed))

    def _open_in_turn(self) -> bool:
        """Open what carries a short circuit whenever contacts that go round close it; True when there was one."""
        turn = self.passed[len(self.passed) // 2 :]
        return any(self._lose_mains(point.ac) or self._blow(point, _IN_TURN) for point in turn)

    def _blow(self, point: OperatingPoint, times: float = 1.0) -> bool:
        """Open the protective device that is most above so many times its limit; True when there was one."""
        worst = most_overloaded(point, {path: times * limit for path, limit in self.trips.items()})
        if worst:
            self.position = replace(self.position, opened=self.position.opened | {worst})
        return bool(worst)

    def _lose_mains(self, ac: Layer) -> bool:
        """Drop the conductors of the mains that feed a short circuit; True when there was one."""
        lost = shorted_mains(self.lowered, ac)
        if lost:
            left = tuple(source for source in self.live_lowered.mains_sources if source not in lost)
            self.live_lowered = self.lowered = replace(self.live_lowered, mains_sources=left)
        return bool(lost)

    def may_move(self, actuator: Actuator, coil: Coil, was: bool) -> bool:
        """The same with faults that hold a coil, and delays."""
        delay_s = coil.off_delay_s if was else coil.on_delay_s
        free = actuator not in self.stuck_off and super().may_move(actuator, coil, was)
        return free and self.in_time(actuator, delay_s)

    def first_to_move(self, moves: Sequence[tuple[Actuator, str]]) -> Sequence[tuple[Actuator, str]]:
        """The faster coil alone where the condition names one that moves, but not for ever."""
        first = [move for move in moves if move[0] == self.condition.order]
        self.ahead = self.ahead + 1 if first else 0
        return first if first and self.ahead <= _AHEAD else moves

    def in_time(self, actuator: Actuator, delay_s: float) -> bool:
        """Whether something with a delay [s] may follow now: late, or at once where it has none."""
        return self.late or not delay_s

    def _is_on(self, actuator: Actuator) -> bool:
        return actuator in self.attracted or actuator in self.held

    def ready(self, part: str, unit: Logic) -> bool:
        """Whether a unit has its supply and every channel."""
        return all(self._is_on((part, need)) for need in (unit.supply, *unit.channels))

    def step_logic(self) -> list[str]:
        """Units that lost a channel or their supply let go."""
        changed = []
        for key, unit in self.logics.items():
            actuator = (key[0], unit.outputs)
            is_due = self.in_time(actuator, unit.off_delay_s)
            if actuator in self.attracted and is_due and not self.ready(key[0], unit):
                self.attracted.discard(actuator)
                changed.append(f"{key[0]} {unit.outputs}")
        return changed

    def _resets(self) -> list[str]:
        fired = []
        for key, unit in self.logics.items():
            part, actuator = key[0], (key[0], unit.outputs)
            ready, pressed = self.ready(part, unit), self._is_on((part, unit.reset))
            counts = (self.pressed.get(actuator, False) and not pressed) if unit.reset_mode == "monitored" else pressed
            if unit.paired:
                counts = self._channels_opened(part, unit) and counts
            if counts and ready and not self._is_on(actuator) and actuator not in self.stuck_off:
                self.attracted.add(actuator)
                fired.append(f"{part} {unit.outputs}")
            self.pressed[actuator] = pressed and ready
        return fired

    def _channels_opened(self, part: str, unit: Logic) -> bool:
        """Whether every channel has been open since the outputs fell; a unit without supply forgets."""
        fallen = not self._is_on((part, unit.outputs))
        powered = self._is_on((part, unit.supply))
        for channel in unit.channels:
            key = (part, channel)
            seen = self.opened.get(key, False) or not self._is_on(key) or not powered
            self.opened[key] = fallen and seen
        return all(self.opened[part, channel] for channel in unit.channels)


def run_script(
    running: OperatingPoint,
    use: StopUse,
    device: str,
    faults: Sequence[Fault],
    condition: Condition | None = None,
) -> dict[Moment, Snapshot]:
    """The moments of a sequence, from the running machine, with some faults and one device worked."""
    start = running, use, device, faults, condition or Condition()
    return ControlSimulator(*start, solved_from(running)).run_script()


def left_alive(running: OperatingPoint, use: StopUse, device: str, faults: Sequence[Fault]) -> tuple[str, ...]:
    """The targets that are alive once a device is worked, with some faults there."""
    simulator = ControlSimulator(running, use, device, faults, Condition(), solved_from(running))
    return simulator.run_to_stop()[Moment.STOP].alive


def run_either_way(
    running: OperatingPoint, use: StopUse, device: str, faults: Sequence[Fault], condition: Condition
) -> list[tuple[Condition, dict[Moment, Snapshot]]]:
    """The sequence, and where luck decided which of two locked contactors is in, again with each as the faster one."""
    found = [(condition, run_script(running, use, device, faults, condition))]
    tied = found[0][1][Moment.MAINS_ON].tied if condition.order is TOGETHER else ()
    again = [replace(condition, order=first) for first in sorted(tied)]
    return found + [(one, run_script(running, use, device, faults, one)) for one in again]
