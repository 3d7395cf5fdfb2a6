"""The machine under a person's hands: every act is settled in numbers, delays run on a clock, and acts can be undone.

It is the simulation of the stop proof, worked by hand. Bounce, inductance and transients are outside of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.condition import Condition
from wiring.control.fault_record import Fault
from wiring.control.layers import Solved
from wiring.control.numeric_simulation import ControlSimulator
from wiring.control.overload import with_bridges
from wiring.control.script import StopUse, operators_of
from wiring.design.design import Design
from wiring.design.motor.demands import Moment
from wiring.design.stop.hazards import hazards
from wiring.design.stop.running_states import running_states
from wiring.design.stop.uses import targets_of
from wiring.parts.elements import Output
from wiring.rehearsal.charge import Charge, charges
from wiring.solver.assembly import Actuator, ElementKey, Position
from wiring.solver.network import VoltageSource
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import program_outputs

#: Acts that can be undone, faults at once, and solved layers that are kept.
MOST_ACTS, MOST_FAULTS, _MOST_LAYERS = 60, 12, 400


class Hands(Struct, frozen=True):
    """How a person has set everything: a state of the plan, operators that stand worked, devices pulled or switched
    off, faults put in, the mains, and whether a program has its outputs on."""

    state: str
    worked: frozenset[Actuator] = frozenset()
    pulled: frozenset[str] = frozenset()
    faults: tuple[Fault, ...] = ()
    mains: bool = True
    programs: bool = True


class Memory(Struct, frozen=True):
    """What the machine itself remembers: coils, outputs, resets, blown devices, conductors of the mains cut off by the
    device ahead of it, the clock [s], what is due when, and charge in buses."""

    attracted: frozenset[Actuator] = frozenset()
    output_v: Mapping[ElementKey, complex] = {}
    input_w: Mapping[ElementKey, float] = {}
    pressed: Mapping[Actuator, bool] = {}
    opened: Mapping[Actuator, bool] = {}
    blown: frozenset[str] = frozenset()
    lost: frozenset[VoltageSource] = frozenset()
    time_s: float = 0.0
    due: Mapping[Actuator, float] = {}
    charge: Mapping[str, Charge] = {}


class Bench(ControlSimulator):
    """A design that is worked. `point` is where it rests, `restless` what never came to rest."""

    entire: ClassVar[bool] = True

    def __init__(self, design: Design) -> None:
        machine, operation = design.machine, design.operation
        targets = targets_of(machine, hazards(machine.circuit))
        use = StopUse("", 0, (), (), targets, operators_of(machine.circuit))
        running = next(iter(running_states(machine, operation, targets).values()))
        super().__init__(running, use, "", (), Condition(), Solved())
        self.design, self.sound = design, self.live_lowered
        self.last_point = self.point(self.last["DC"], self.last["AC"], [])
        self.hands = self.first_hands()
        self.due: dict[Actuator, float] = {}
        self.following: frozenset[Actuator] = frozenset()
        self.time_s, self.charge = 0.0, dict[str, Charge]()
        #: The outputs that are on in a state, where a proof is played and takes others than the state.
        self.proved_outputs: frozenset[Actuator] | None = None
        self.restless: list[str] = []
        self.past: list[tuple[Hands, Memory]] = []
        self.position = Position()
        self.at_work = self.memory()
        self.begin()

    # What a person does.

    def first_hands(self) -> Hands:
        """Mains on, nobody's hand anywhere, the first state of the plan and what it wants latched."""
        state = next(iter(self.design.state_entries))
        return Hands(state, self.latched_in(state))

    def latched_in(self, state: str) -> frozenset[Actuator]:
        """The operators that a state wants worked and that stay so without a hand."""
        entries = self.design.state_entries[state]
        return frozenset(
            one.actuator
            for one in self.use.operators
            if not one.springs_back and (entry := entries.get(one.actuator[0])) and entry.mode == "worked"
        )

    def begin(self) -> None:
        """From cold: no coil picked up, every supply dead, then the mains as they stand."""
        self.past.clear()
        self.proved_outputs = None
        first = self.first_hands()
        self.put(replace(first, mains=False), Memory())
        self.settle_now()
        self.put(first, self.memory())
        self.settle_now()

    def run_from_work(self, use: StopUse) -> None:
        """The machine as it runs in the state from which a stop is proved."""
        self.past.clear()
        states = self.design.stopping.from_states
        one = next((one for one in states if use.state == one.state), states[0])
        memory = replace(self.at_work, attracted=one.running.attracted) if use.state else self.at_work
        self.proved_outputs = program_outputs(one.running.lowered.circuit) & one.running.position.moved
        self.put(Hands(one.within, use.worked), memory)
        self._come_to_rest(wait=True)

    def act(
        self, hands: Hands, *, renewed: frozenset[str] = frozenset(), mains_back: bool = False, wait: bool = False
    ) -> None:
        """Work something and let the machine come to rest; `renewed` poles are put in order again, and `mains_back`
        the device ahead of the machine; `wait` until all delays are over."""
        memory = self.memory()
        self.past.append((self.hands, memory))
        del self.past[:-MOST_ACTS]
        lost = frozenset[VoltageSource]() if mains_back else memory.lost
        self.put(hands, replace(memory, blown=memory.blown - renewed, lost=lost))
        self._come_to_rest(wait=wait)

    def _come_to_rest(self, *, wait: bool) -> None:
        if not wait:
            self.condition = Condition()
            self.settle_now()
            return
        shot = self.rest()
        self.time_s += max((*(max(c.on_delay_s, c.off_delay_s) for c in self.coils.values()), 0.0))
        self.last_point, self.restless, self.due = shot.point, [shot.reason] if shot.reason else [], {}
        self.charge = charges(self.design.machine, shot.point, self.charge, self.time_s)

    def undo(self) -> bool:
        """Take the last act back; False where there is none."""
        if not self.past:
            return False
        self.put(*self.past.pop())
        self.settle_now()
        return True

    def advance(self, seconds: float) -> None:
        """Let the clock run; whatever is due on the way moves in its order."""
        end = self.time_s + seconds
        while self.due and min(self.due.values()) <= end:
            self.time_s = max(self.time_s, min(self.due.values()))
            self.following = frozenset(one for one, at in self.due.items() if at <= self.time_s)
            self.settle_now()
        self.time_s = end
        self.charge = charges(self.design.machine, self.last_point, self.charge, self.time_s)

    def to_the_next(self) -> None:
        """Let the clock run to what is due next."""
        if self.due:
            self.advance(max(min(self.due.values()) - self.time_s, 0.0))

    # How everything stands, taken out and put in.

    def memory(self) -> Memory:
        """What the machine remembers now."""
        return Memory(
            frozenset(self.attracted),
            dict(self.output_v),
            dict(self.input_w),
            dict(self.pressed),
            dict(self.opened),
            self.blown,
            frozenset(self.sound.mains_sources) - frozenset(self.live_lowered.mains_sources),
            self.time_s,
            dict(self.due),
            dict(self.charge),
        )

    def put(self, hands: Hands, memory: Memory) -> None:
        """Set hands and memory; what names nothing of this machine is left out."""
        if (hands.state, hands.faults) != (self.hands.state, self.hands.faults) or len(
            self.solved.layers
        ) > _MOST_LAYERS:
            self.solved.forget()  # a layer that is kept does not hold what loads ask for
        self.hands = hands
        self._put_faults(hands.faults, memory)
        asked = self.design.operation.demands(hands.state, Moment.WORK)
        dead = {part for fault in hands.faults for part in fault.dead}
        opened = self.cut | memory.blown | self.paths_of(hands.pulled)
        closed = frozenset(path for fault in hands.faults for path in fault.closed)
        self.position = Position(frozenset(), opened, asked.off | dead, asked.demand, closed)
        self.operated = hands.worked
        on = self.design.operation.outputs_on[hands.state] if self.proved_outputs is None else self.proved_outputs
        self.programs = on if hands.programs else frozenset()
        movers = {(key[0], coil.moves) for key, coil in self.coils.items()}
        movers |= {(key[0], unit.outputs) for key, unit in self.logics.items()}
        self.attracted = set(memory.attracted & movers)
        self.output_v = {key: volts for key, volts in memory.output_v.items() if key in self.outputs}
        self.output_v |= {key: one.volts for key, one in self.outputs.items() if self._feeds_itself(key, one)}
        self.output_v = {key: volts for key, volts in self.output_v.items() if key[0] not in self.position.off}
        self.input_w = {key: memory.input_w.get(key, element.standby_w) for key, element in self.inputs.items()}
        self.pressed, self.opened = dict(memory.pressed), dict(memory.opened)
        self.time_s, self.due = memory.time_s, {one: at for one, at in memory.due.items() if one in movers}
        self.charge = dict(memory.charge)

    def _put_faults(self, faults: tuple[Fault, ...], memory: Memory) -> None:
        self.faults = faults
        bridged = with_bridges(self.sound, faults)
        left = tuple(source for source in bridged.mains_sources if source not in memory.lost)
        self.live_lowered = replace(bridged, mains_sources=left)
        self.mains(on=self.hands.mains)
        self.stuck_on = frozenset(one for fault in faults for one in fault.on)
        self.stuck_off = frozenset(one for fault in faults for one in fault.off)

    def _feeds_itself(self, key: ElementKey, output: Output) -> bool:
        """Whether an output lives without an input: a battery, or a supply whose input the plan does not wire."""
        feed = self.feed_of.get((key[0], output.input or ""))
        return output.ratio is None and (feed is None or feed[0] in self.unwired)

    @property
    def cut(self) -> frozenset[str]:
        """The paths that the faults put in hold open."""
        return frozenset(path for fault in self.hands.faults for path in fault.opened)

    @property
    def blown(self) -> frozenset[str]:
        """The poles that opened by themselves."""
        return self.position.opened - self.cut - self.paths_of(self.hands.pulled)

    def paths_of(self, parts: frozenset[str]) -> frozenset[str]:
        """The poles of protective devices, by their ids."""
        return frozenset(path for path in self.trips if path.split(":")[0] in parts)

    # Coming to rest, what is delayed in its own time.

    def in_time(self, actuator: Actuator, delay_s: float) -> bool:
        """Whether something may follow now: at once without a delay, else when it is due."""
        return self.late or not delay_s or actuator in self.following

    def settle_now(self) -> OperatingPoint:
        """Come to rest but for what is delayed, which is due from now."""
        point, self.restless = self.run(late=False)
        self.following = frozenset()
        self.due = {one: self.due.get(one, self.time_s + delay_s) for one, delay_s in self._waiting(point).items()}
        self.charge = charges(self.design.machine, point, self.charge, self.time_s)
        self.last_point = point
        return point

    def _waiting(self, point: OperatingPoint) -> dict[Actuator, float]:
        """What would move now but for its delay, with the delay [s]."""
        found = {}
        for key, coil in self.coils.items():
            actuator = (key[0], coil.moves)
            was = actuator in self.attracted
            free = actuator not in self.held | self.stuck_off and (was or not self.is_locked_out(actuator))
            if free and self.attracts(key, coil, point, was) != was:
                found[actuator] = coil.off_delay_s if was else coil.on_delay_s
        for key, unit in self.logics.items():
            actuator = (key[0], unit.outputs)
            if actuator in self.attracted and not self.ready(key[0], unit):
                found[actuator] = unit.off_delay_s
        return {one: delay_s for one, delay_s in found.items() if delay_s > 0.0}
