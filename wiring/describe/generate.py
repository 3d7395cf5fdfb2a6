"""The order of decisions: mains, axes, process, controls, stop, controller, earths, and rows of terminals last."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.describe.axes import motions, state_entry
from wiring.describe.battery import battery_rail
from wiring.describe.bought import bought_supplies
from wiring.describe.build import Build, own_model
from wiring.describe.coils import brakes
from wiring.describe.description import USUAL_AMBIENT, Axis, Description, Load, usual_cabinet
from wiring.describe.direct import direct_rails
from wiring.describe.draft import Chosen, Draft
from wiring.describe.drive_wiring import mains_servos
from wiring.describe.earths import begin_earths, end_earths, rows
from wiring.describe.feeds import back, feed
from wiring.describe.loads import made_for, process_loads
from wiring.describe.locks import runs_of
from wiring.describe.mains import begin_mains, on_one_line
from wiring.describe.questions import questions, unsaid
from wiring.describe.rails import control_rail, motor_rails
from wiring.describe.signals import axis_signals, controller, drive_alarms, field_signals, operators
from wiring.describe.stops import stop_circuit
from wiring.describe.switchgear import marking
from wiring.describe.text import block, plan_text, value_text
from wiring.describe.trade import ROUTES
from wiring.parts.drives import Drive
from wiring.plan.source import Node

_HEAD = (
    "# A draft, worked out from a short description. It is to be judged by a person who is qualified for it: a right",
    "# verdict is no approval. Behind parts and wires stands why they are as they are.",
)
#: Fans take power by the air that they move: some 5 W for 55 m3/h (typical, from memory).
_FAN_W_PER_M3_H = 0.09


def plan_of(description: Description, tree: Node, chosen: Chosen) -> str:
    """The text of the plan with these sizes. Raises Refused for what cannot be had."""
    build = Build(description, tree, Draft(chosen), supplies=bought_supplies(description))
    moves = motions(build)
    stopped = any(motion.on_rail or not _has_torque_off(motion.axis) for motion in moves)
    loads = description.loads.values()
    stopped |= any(load.sort in _ACROSS_THE_LINE or not _has_torque_off(load) for load in loads)
    system = description.mains.system
    neutral = system == "single-phase" or (description.rulebook == "iec" and system == "three-phase")
    neutral |= any(on_one_line(made_for(load), description.mains) for load in loads)
    torque_off = any(not motion.on_rail and _has_torque_off(motion.axis) for motion in moves)
    torque_off |= any(load.sort == "inverter" and _has_torque_off(load) for load in loads)
    build.draft.chosen.grouped |= stopped and (torque_off or bool(marking(build)))
    on_mains = description.battery is None
    side = begin_mains(build, switched=stopped and on_mains, neutral=neutral)
    begin_earths(build)
    if stopped:
        build.draft.named |= {"K1", "K2"}
    if on_mains:
        motor_rails(build, side, moves)
        mains_servos(build, side, moves)
        direct_rails(build, side)
        control_rail(build, side)
    else:
        battery_rail(build, side, moves, stopped=stopped)
    process_loads(build, side)
    brakes(build)
    stop_circuit(build, contactors=stopped)
    operators(build)
    field_signals(build)
    drive_alarms(build)
    axis_signals(build)
    _fan(build)
    controller(build)
    end_earths(build)
    rows(build)
    _states(build)
    _routes(build)
    return plan_text(_head(build), build.draft)


#: Loads that the contactors of the stop part from the mains.
_ACROSS_THE_LINE = ("heater", "motor", "appliance", "source")


def _has_torque_off(driven: Axis | Load) -> bool:
    """Whether its drive has two safe torque off inputs, as those of the library have."""
    drive = own_model(driven.drive) if driven.drive is not None else None
    return not isinstance(drive, Drive) or len(drive.sto) > 1


def _head(build: Build) -> Iterator[str]:
    description = build.description
    yield from _HEAD
    for question in questions(description):
        yield f"# Open: {question}"
    for words in unsaid(description):
        yield f"# Not said: {words}"
    yield from ("format: 1", f"machine: {value_text(description.describe)}")
    if description.author:
        yield f"author: {value_text(description.author)}"
    yield from ("revision: A", f"rulebook: {description.rulebook}", "")
    yield from (f"site: {value_text({'ambient': USUAL_AMBIENT, **(build.raw('site') or {})})}", "")
    if build.raw("prices"):
        yield from block("prices", build.raw("prices"))
    yield from block("mains", {"inlet": "X0", **build.raw("mains")})
    box = build.draft.chosen.box
    cabinet = {key: value for key, value in (build.raw("cabinet") or {}).items() if key not in ("distance", "bought")}
    if not description.cabinet.bought:
        usual = usual_cabinet(build.rulebook, description.site.exposed_to).items()
        cabinet |= {key: word for key, word in usual if key not in cabinet}
    if box is not None:
        cabinet = {"size": "", **cabinet} | {"size": box.words(build.rulebook)}
    air = build.draft.chosen.air
    if air is None or air:
        cabinet["fan"] = {"airflow": air or "20 m3/h"}
    if cabinet:
        yield from block("enclosure", cabinet, {"size": build.draft.chosen.box_why})


def _fan(build: Build) -> None:
    """The fan that sizing asks for, fed from the controls."""
    air = build.draft.chosen.air
    if not air:
        return
    watts = max(2.0, round(_FAN_W_PER_M3_H * float(air.split()[0])))
    draft = build.draft
    name = draft.name("E")
    data = {"kind": "fan", "title": "cabinet fan with filter", "rated": f"24 V DC {watts:g} W", "airflow": air}
    from wiring.requirement import CABINET, Quantity

    draft.part("process", name, data, draft.chosen.why.get((Quantity.AIRFLOW, CABINET), ""))
    draft.wire("control", feed(build, "fan"), f"{name}:+", build.type("control"), "cabinet fan")
    draft.wire("control", f"{name}:-", back(build), build.type("control", back=True), "cabinet fan return")


def _routes(build: Build) -> None:
    """The routes that are used, in the order of the table, each apart from those that are used too."""
    draft = build.draft
    used = [name for name in ROUTES if name in draft.routes]
    for name in used:
        route = dict(ROUTES[name])
        apart = {other: way for other, way in dict(route.pop("apart", {})).items() if other in used}  # type: ignore[call-overload]
        draft.routes[name] = {**route, **({"apart": apart} if apart else {})}
    draft.routes = {name: draft.routes[name] for name in used}


def _states(build: Build) -> None:
    """Ready, work and rapid; what works together is what the description says, or everything."""
    draft, description = build.draft, build.description
    off = {part: "off" for part, _ in build.loads.values()} | dict.fromkeys(build.followers.values(), "off")
    axes = [(one.motor, one.motion) for one in build.drives]
    draft.states["ready"] = {**{motor: "hold" for motor, _ in axes}, **off}
    for state, names in runs_of(description).items():
        entries: dict[str, object] = {}
        for motor, motion in axes:
            entries[motor] = state_entry(motion, rapid=False) if motion.of in names else "hold"
        for name, (part, work) in build.loads.items():
            entries[part] = work if name in names else "off"
            if name in build.pressed and name in names:
                entries[build.pressed[name]] = "worked"
            if part in build.followers and name not in names:
                entries[build.followers[part]] = "off"
        draft.states[state] = entries
    if any(motion.rapid > motion.speed * 1.01 for _, motion in axes):
        draft.states["rapid"] = {**{motor: state_entry(motion, rapid=True) for motor, motion in axes}, **off}
    for entries in draft.states.values():
        entries.update(dict.fromkeys(build.worked, "worked"))
