"""What every load asks for in a state: drives follow their motors, motors follow the state."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import StrEnum

from msgspec import Struct

from wiring.circuit.axes import Axis
from wiring.circuit.model import Circuit
from wiring.control.script import operators_on
from wiring.parts.base import Part
from wiring.parts.drives import Drive, Inverter, ServoDrive, StepperDrive
from wiring.parts.elements import Draw
from wiring.parts.machinery import motor_shaft_power, servo_bus_power
from wiring.parts.motion import stepper_bus_power, stepper_peak_bus_power
from wiring.parts.motors import Motor, ServoMotor, Shaft, StepperMotor, Work
from wiring.plan.models import StateEntry
from wiring.rulebooks.limits import tabled
from wiring.solver.assembly import Actuator, Demand, ElementKey

#: Winding temperature for which copper losses are budgeted [°C]; a motor at work is hot.
WINDING_C = tabled("common", "winding_hot").value
#: Iron loss of a stepper motor at 600 rpm where none is given [W], growing with speed.
IRON_LOSS_W_AT_600_RPM = tabled("common", "stepper_iron_loss").value
_RAD_S_AT_600_RPM = 62.83185307179586


class Moment(StrEnum):
    """Which figure of a state is asked for."""

    WORK = "work"  # every axis that the state names at its work, at once
    AVERAGE = "average"  # weighed with the duty, for heat
    PEAK = "peak"  # every moving axis accelerating, at once


class Demands(Struct, frozen=True):
    """Demands by element, the parts that are off, and what had to be assumed for want of data."""

    demand: Mapping[ElementKey, Demand]
    off: frozenset[str]
    assumed: tuple[tuple[str, str], ...]


def work_in(entry: StateEntry | None, motor: Part) -> Work:
    """The work of a motor in a state: the state's figures over the motor's own."""
    assert isinstance(motor.data, Shaft)
    base = motor.data.work or Work()
    figures = ("speed", "torque", "power", "duty")
    given = {name: value for name in figures if (value := getattr(entry, name, None)) is not None}
    return base.model_copy(update=given)


def work_power(work: Work) -> float | None:
    """Shaft power of a work [W], below zero where the load drives the motor; None where the plan does not say it."""
    if work.power is not None:
        return work.power
    if work.speed is not None and work.torque is not None:
        return motor_shaft_power(torque=work.torque, speed=work.speed)
    return None


class _State:
    def __init__(
        self, circuit: Circuit, axes: Mapping[str, Axis], entries: Mapping[str, StateEntry], moment: Moment
    ) -> None:
        self.circuit, self.axes, self.entries, self.moment = circuit, axes, entries, moment
        self.assumed: list[tuple[str, str]] = []

    def mode(self, part: Part) -> str:
        """run, hold, on or off. A motor that is not named holds; any other load that is not named is on."""
        entry = self.entries.get(part.name)
        if entry is None:
            return "hold" if isinstance(part.data, Shaft) else "on"
        return entry.mode or "run"

    def work(self, motor: Part) -> Work:
        return work_in(self.entries.get(motor.name), motor)

    def weighed(self, run_w: float, hold_w: float, duty: float) -> float:
        return duty * run_w + (1.0 - duty) * hold_w if self.moment is Moment.AVERAGE else run_w

    def stepper(self, drive: Part, motor: Part) -> float:
        setting, winding = drive.data, motor.data
        assert isinstance(setting, StepperDrive)
        assert isinstance(winding, StepperMotor)
        mode, work = self.mode(motor), self.work(motor)
        if mode == "off":
            return setting.quiescent
        peak_a = setting.phase_current.peak_a
        if winding.phase_resistance is None:
            self.assumed.append((motor.name, "phase_resistance (typical value assumed)"))
        common = {
            "phase_resistance_ohm": winding.winding_ohm,
            "bridge_resistance_ohm": setting.bridge_resistance,
            "quiescent_w": setting.quiescent,
            "winding_c": WINDING_C,
        }
        hold_w = stepper_bus_power(peak_a=peak_a * setting.hold_current, torque=0.0, speed=0.0, iron_w=0.0, **common)
        if mode == "hold":
            return hold_w
        speed, torque = self.stepper_work(motor, work)
        torque, speed = (abs(torque) if torque * speed > 0 else 0.0), abs(speed)  # what is braked comes back
        iron_w = (
            winding.iron_loss if winding.iron_loss is not None else IRON_LOSS_W_AT_600_RPM * speed / _RAD_S_AT_600_RPM
        )
        run_w = stepper_bus_power(peak_a=peak_a, torque=torque, speed=speed, iron_w=iron_w, **common)
        if self.moment is Moment.PEAK:
            pull = winding.holding_torque if winding.holding_torque is not None else torque
            full_w = stepper_bus_power(peak_a=peak_a, torque=max(pull, torque), speed=speed, iron_w=iron_w, **common)
            ceiling_w = stepper_peak_bus_power(peak_a=peak_a, bus_v=setting.supply.high)
            return max(run_w, min(full_w, ceiling_w))
        return self.weighed(run_w, hold_w, work.duty)

    def stepper_work(self, motor: Part, work: Work) -> tuple[float, float]:
        data = motor.data
        assert isinstance(data, StepperMotor)
        speed = work.speed
        torque = work.torque
        if speed is None:
            self.assumed.append((motor.name, "work speed (600 rpm assumed)"))
            speed = _RAD_S_AT_600_RPM
        if torque is None:
            self.assumed.append((motor.name, "work torque (half of the holding torque assumed)"))
            torque = 0.5 * (data.holding_torque or 0.0)
        return speed, torque

    def shaft(self, motor: Part) -> tuple[float, float, float]:
        """Shaft power at work, below zero where the load drives the motor, shaft power at the peak, and duty."""
        data, work = motor.data, self.work(motor)
        assert isinstance(data, Motor | ServoMotor)
        run_w = work_power(work)
        if run_w is None:
            self.assumed.append((motor.name, "work power or speed and torque (rated power assumed)"))
            run_w = data.rated_power
        peak_w = run_w
        if isinstance(data, ServoMotor):
            peak_w = max(run_w, data.rated_power)
            if data.peak_torque is not None and work.speed is not None:
                peak_w = max(run_w, motor_shaft_power(torque=data.peak_torque, speed=abs(work.speed)))
        return run_w, peak_w, work.duty

    def rotary(self, drive: Part, motors: tuple[Part, ...]) -> float:
        """Power into a servo drive or an inverter."""
        setting = drive.data
        assert isinstance(setting, ServoDrive | Inverter)
        total = setting.quiescent
        for motor in motors:
            if not isinstance(motor.data, Motor | ServoMotor) or self.mode(motor) in ("off", "hold"):
                continue
            run_w, peak_w, duty = self.shaft(motor)
            shaft_w = peak_w if self.moment is Moment.PEAK else self.weighed(run_w, 0.0, duty)
            shaft_w = max(shaft_w, 0.0)  # what is braked comes back
            total += servo_bus_power(
                shaft_w=shaft_w,
                motor_efficiency=motor.data.loaded_efficiency,
                drive_efficiency=setting.efficiency,
                quiescent_w=0.0,
            )
        return total

    def drive(self, axis: Axis) -> float:
        data = axis.drive.data
        if not isinstance(data, StepperDrive):
            return self.rotary(axis.drive, axis.motors)
        steppers = [motor for motor in axis.motors if isinstance(motor.data, StepperMotor)]
        if not steppers:
            return data.quiescent
        powers = [self.stepper(axis.drive, motor) for motor in steppers]
        return sum(powers) - data.quiescent * (len(powers) - 1)

    def demands(self) -> Iterator[tuple[ElementKey, Demand]]:
        draws_of: dict[str, list[int]] = {}
        for (name, n), element in self.circuit.keyed(Draw).items():
            if element.name in ("bus", "shaft"):
                draws_of.setdefault(name, []).append(n)
        for name, draws in draws_of.items():
            part = self.circuit.parts[name]
            watts = self.drive(self.axes[part.name]) if isinstance(part.data, Drive) else self.direct(part)
            for n in draws:
                yield (part.name, n), Demand(watts / len(draws))

    def direct(self, part: Part) -> float:
        """Power into a motor that is switched straight onto its supply."""
        data = part.data
        if not isinstance(data, Motor) or self.mode(part) in ("off", "hold"):
            return 0.0
        run_w, _, duty = self.shaft(part)
        return self.weighed(abs(run_w), 0.0, duty) / data.loaded_efficiency


def demands_in(
    circuit: Circuit, axes: Mapping[str, Axis], entries: Mapping[str, StateEntry], moment: Moment
) -> Demands:
    """The demands of every load in a state of the plan."""
    state = _State(circuit, axes, entries, moment)
    demand = dict(state.demands())
    off = frozenset(
        name
        for name, entry in entries.items()
        if name in circuit.parts and entry.mode == "off" and not isinstance(circuit.parts[name].data, Shaft)
    )
    return Demands(demand, off, tuple(sorted(set(state.assumed))))


def worked_operators(circuit: Circuit, entries: Mapping[str, StateEntry]) -> frozenset[Actuator]:
    """The operators that a state gives as `worked`."""
    named = {name for name, entry in entries.items() if entry.mode == "worked"}
    return frozenset(one for name in named & circuit.parts.keys() for one in operators_on(circuit.parts[name]))
