"""Measured values of a plan: what they stand in place of, and where they cannot be what was measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.motor.measured_currents import computed_current
from wiring.design.operation import UNNAMED_STATE
from wiring.parts.base import Part
from wiring.parts.motors import Motor
from wiring.plan.fault import Fault, nearest
from wiring.plan.measured import Measured
from wiring.plan.models import PlanFile
from wiring.plan.read import Reading


class MeasuredValue(Struct, frozen=True):
    """One measured value beside what the plan says without it, both in `unit`; None where that cannot be computed.

    Of the cabinet it is what the measured temperature leads to in the hottest state and the warmest air.
    """

    what: str
    computed: float | None
    measured: float
    unit: str


def measured_values(design: Design) -> Iterator[MeasuredValue]:
    """Every measured value of a plan."""
    measured = design.plan.measured
    if measured is None:
        return
    if measured.loop is not None:
        yield MeasuredValue("loop at the inlet", _assumed_loop(design), measured.loop, "ohm")
    if measured.inside is not None:
        inside = design.inside
        yield MeasuredValue("air in the cabinet", inside.computed_c, inside.inside_c, "°C")
    for name, by_state in measured.motors.items():
        for state, amps in by_state.items():
            entry = design.plan.states.get(state, {}).get(name)
            rows = design.state_entries.get(state, {})
            if name in rows:
                computed = computed_current(design.parts[name], entry or rows[name])
                yield MeasuredValue(f"{name} in {state}", computed, amps, "A")


def _assumed_loop(design: Design) -> float | None:
    """The largest loop at the inlet that the prospective current of the plan makes; None where it names none."""
    mains = design.plan.mains
    if mains is None or mains.fault_current is None:
        return None
    shorts = design.short_circuits.to_earth
    return max((short.cold_ohm for node, short in shorts.items() if node == short.origin.plus), default=None)


def measured_faults(reading: Reading, parts: Mapping[str, Part]) -> Iterator[Fault]:
    """What cannot have been measured at this machine."""
    plan = reading.plan
    if plan is None or plan.measured is None:
        return
    measured = plan.measured
    if measured.loop is not None and (plan.mains is None or plan.mains.inlet is None):
        summary = "a loop is measured at the inlet, and the plan has none"
        yield Fault(reading.place("measured", "loop"), summary, "`mains: {inlet: …}`")
    inside = measured.inside
    if inside is not None and inside.temperature <= inside.ambient:
        place = reading.place("measured", "inside", "temperature")
        summary = "the cabinet is no warmer inside than the air around it"
        yield Fault(place, summary, "a temperature taken with the door closed, after hours of work")
    yield from _motor_faults(reading, plan, measured, parts)


def _motor_faults(reading: Reading, plan: PlanFile, measured: Measured, parts: Mapping[str, Part]) -> Iterator[Fault]:
    states = list(plan.states) or [UNNAMED_STATE]
    for name, by_state in measured.motors.items():
        part = parts.get(name)
        if part is not None and not isinstance(part.data, Motor):
            summary = f"{name} is no motor whose current follows from its work"
            yield Fault(reading.place("measured", "motors", name), summary, "a part of `kind: motor`")
            continue
        for state in by_state:
            place = reading.place("measured", "motors", name, state)
            entry = plan.states.get(state, {}).get(name)
            if state not in states:
                yield Fault(place, f"there is no state {state[:60]!r}", "a key of `states`", "", nearest(state, states))
            elif plan.states and (entry is None or entry.mode in ("hold", "off")):
                yield Fault(place, f"{name} does not run in state {state}", "a state in which it runs")
