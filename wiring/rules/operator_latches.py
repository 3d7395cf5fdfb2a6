"""A button or pedal stays down when the hand or foot leaves, and what it moves goes on.

What moves only while a push-button or pedal is held stops by letting it go. One that latches (`action: latching`) moves
on with nobody at it. It is let go in every state in which it stands worked: a motor, or a valve that is hazardous, that
loses its power then was held to run by it, and not by a contactor with a stop of its own. A motor that runs one way
across the line, as one of a pump does, may as well have a switch that stays on: that is a notice.

Fires on hot-wire at S7
    parts.S7={kind: foot-switch, action: latching, contacts: {13-14: NO}, rated: 3 A}
    parts.Y1={kind: valve, rated: 24 V DC 10 W, suppressor: diode, hazardous: true}
    states.running={Y1: "on", S7: worked}
    wires+={wire: 14, from: K1:A1, to: S7:13, type: control}
    wires+={wire: 15, from: S7:14, to: Y1:1, type: control}
    wires+={wire: 16, from: Y1:2, to: K0:A2, type: control}
Quiet
    S7.action=spring-return
Not judged
    A switch that no state works. Selectors and key switches stay by their nature.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.stop.hazards import is_live, moves_people
from wiring.design.switching.coil_feeds import turned_round
from wiring.findings import Cause, Mend
from wiring.parts.base import Part
from wiring.parts.motors import Shaft
from wiring.parts.operators import FootSwitch, PushButton
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.solver.settling import operate_on
from wiring.wording import does, listed

RULE = Rule(
    slug="operator-latches",
    title="Motion goes on when the button is let go",
    signal=Signal.WARNING,
    harm="The hand or foot leaves to reach in, and the machine moves on.",
    sources=(("iec", iec_60204("9.2.3.6, 10.2.1")), ("na", nfpa_79("9.2.5.2"))),
)


def check(design: Design) -> Judgements:
    """Every button and pedal that stays where it is put and that no stop names."""
    stops = {device for stop in design.plan.stops.values() for device in stop.devices}
    for part in design.parts.values():
        if isinstance(part.data, PushButton | FootSwitch) and not part.data.springs_back() and part.name not in stops:
            yield from _judge(design, part)


def _judge(design: Design, part: Part) -> Judgements:
    moved: dict[str, str] = {}
    worked = (part.name, "operator")
    for state, point in design.states.items():
        if worked not in point.position.moved:
            continue
        let_go = operate_on(point, let_go=worked)
        for other in design.parts.values():
            if moves_people(other) and is_live(other, design.axes, point) and not is_live(other, design.axes, let_go):
                moved.setdefault(other.name, state)
    if moved:
        places = any(_goes_places(design, design.parts[name]) for name in moved)
        yield RULE.finding(
            (part.name, *moved),
            f"{part.name} ({part.title or part.kind}) latches: {does(moved, 'goes', 'go')} on in state "
            f"{listed(list(moved.values()))} when it is let go, with nobody at it",
            design.place(part.name, "action"),
            signal=RULE.signal if places else Signal.NOTICE,
            because=[Cause(design.place(name), "moves on") for name in moved],
            mend=(
                Mend(f"Take {part.name} with a spring return.", of_part(part.name, "action", "spring-return")),
                f"Or start {', '.join(moved)} by a contactor that holds itself, with a stop of its own.",
            ),
        )


def _goes_places(design: Design, part: Part) -> bool:
    """Whether a part moves something to and fro or up and down: a valve, a motor on a drive, reversed or with a load
    that hangs."""
    if not isinstance(part.data, Shaft):
        return True
    driven = part.name in design.machine.topology.drive_of
    return driven or part.data.vertical or part.name in turned_round(design.machine)
