"""The switch that disconnects motors is rated for less than 115 % of what they draw.

A disconnecting means of a motor circuit breaks it at full load and carries it in a warm cabinet. In North America it is
rated for 115 % of the full-load current of the motor behind it, and one in front of several motors or of motors and
other loads for 115 % of all of them together, in the state in which most runs.

Fires on fan-heater at Q1
    Q1.rated=6 A
Quiet
    Q1.rated=30 A
Not judged
    A switch without a rated current; a motor whose full-load current is neither tabled nor given.
Known limits
    The rating in horsepower, which counts too, and the locked-rotor currents are not known to a plan. Breakers that
    serve as the disconnecting means are not judged here.
"""

from __future__ import annotations

from math import hypot

from wiring.design.device.supply_way import parts_by_way
from wiring.design.motor.circuits import direct_motors, full_load
from wiring.parts.protection import Disconnector
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.steps import SWITCH_A, first_at_least, rated_current
from wiring.rules.rule import Design, Judgements, Rule, Signal
from wiring.rules.words import full_load_number
from wiring.wording import agreeing, listed

#: Share of the full-load current that a disconnecting means is rated for.
_MARGIN = tabled("na", "motor_switch_margin")
RULE = Rule(
    slug="motor-disconnect-too-small",
    title="Disconnecting means of motors is rated too low",
    signal=Signal.CAUTION,
    harm="Its contacts burn when it is opened under load, and may not part.",
    sources=(("na", _MARGIN.source),),
)
#: What a switch carries beyond this multiple of its one motor belongs to other loads (own choice).
_OTHERS_ABOVE = 1.05


def check(design: Design) -> Judgements:
    """Every disconnector on the way of a motor without a drive."""
    if design.plan.rulebook != "na":
        return
    by_way = parts_by_way(design.short_circuits.paths, direct_motors(design.machine))
    for name, part in design.parts.items():
        if not isinstance(part.data, Disconnector):
            continue
        paths = [path.id for path in design.circuit.inner if path.part == name and path.id in by_way]
        motors = {motor.name: motor for path in paths for motor in by_way[path]}
        if not motors:
            continue
        loads = {one: full_load(motors[one]) for one in sorted(motors)}
        unknown = [one for one, current in loads.items() if not isinstance(current, Limit)]
        if unknown or part.data.rated is None:
            missing = "its rated current (`rated: 25 A`)" if not unknown else f"the current of {listed(unknown)}"
            yield RULE.not_judged((name, *motors), missing, design.place(name))
            continue
        known = {one: current.value for one, current in loads.items() if isinstance(current, Limit)}
        yield from _judge(design, name, part.data.rated, known, paths)


def _judge(design: Design, name: str, rated_a: float, loads: dict[str, float], paths: list[str]) -> Judgements:
    carried = max(
        hypot(*(abs(point.path_current(kind).get(path, 0.0)) for kind in ("DC", "AC")))
        for point in design.states.values()
        for path in paths
    )
    alone = len(loads) == 1 and carried <= _OTHERS_ABOVE * sum(loads.values())
    full_a = sum(loads.values()) if alone else max(carried, *loads.values())
    needed = Limit(_MARGIN.value * full_a, "A", _MARGIN.source, "115 % of the full-load currents behind it")
    if rated_a >= needed.value * (1 - 1e-9):
        return
    least = first_at_least(SWITCH_A, needed.value) or rated_current(needed.value)
    yield RULE.finding(
        (name, *loads),
        f"{name} is rated {rated_a:.3g} A, and {listed(list(loads))} behind it "
        f"{agreeing(loads, 'asks', 'ask')} for {needed.value:.3g} A",
        design.place(name, "rated"),
        numbers=[number for motor in loads if (number := full_load_number(design.parts[motor]))],
        limit=needed,
        mend=(f"Take a switch of {least:.3g} A or more for {name}, rated in horsepower for {listed(list(loads))}.",),
    )
