"""A fault told step by step: what was done, which contacts answered, and through what something stays fed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring.control.alive import probe_is_alive
from wiring.control.condition import Condition
from wiring.control.fault_record import Fault
from wiring.control.feeding_paths import feeding_path, returning_path, whole_circuit
from wiring.control.numeric_simulation import Snapshot
from wiring.control.script import Moment, StopUse, Target
from wiring.parts.elements import Coil
from wiring.solver.assembly import Actuator
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint
from wiring.wording import counted, does


def _coil_of(point: OperatingPoint, actuator: Actuator) -> Coil | None:
    part = point.lowered.circuit.parts[actuator[0]]
    return next((e for e in part.elements if isinstance(e, Coil) and e.moves == actuator[1]), None)


def _name(actuator: Actuator) -> str:
    return actuator[0] if actuator[1] in ("coil", "outputs", "brake", "valve") else f"{actuator[0]} {actuator[1]}"


def tell(
    use: StopUse,
    device: str,
    faults: Sequence[Fault],
    seen: Mapping[Moment, Snapshot],
    sound: Mapping[Moment, Snapshot],
    moment: Moment,
    condition: Condition | None = None,
) -> tuple[str, ...]:
    """The steps from the fault to the moment at which something is alive that must be dead."""
    condition = condition or Condition()
    words, first = " and ".join(fault.words for fault in faults), seen[Moment.FAULT]
    held = device in use.let_go
    stop = f"let {device} go" if held else f"press {device}"
    if condition.while_stopped:
        lines = _answer(stop, sound[Moment.STOP], sound[Moment.STOP], first)
        stands = "let go" if held else "in"
        lines += _answer(f"while it is {stands}, {words}", seen[Moment.STOP], sound[Moment.STOP], sound[Moment.STOP])
    else:
        lines = [words, *_appearing(faults, first, sound[Moment.FAULT])]
        lines += _answer(stop, seen[Moment.STOP], sound[Moment.STOP], first)
    hands = sorted(part for part, _ in condition.changed)
    if hands and moment is not Moment.STOP:
        lines += _answer(f"work {' and '.join(hands)}", seen[Moment.TRIED], sound[Moment.TRIED], seen[Moment.STOP])
    if moment not in (Moment.STOP, Moment.TRIED):
        release = "take every hand away" if held else f"release {device}"
        lines += _answer(release, seen[Moment.RELEASE], sound[Moment.RELEASE], seen[Moment.STOP])
    if moment is Moment.DEMAND:
        start = f"reset, start and hold {device}" if held else "reset and start"
        lines += _answer(start, seen[Moment.AGAIN], sound[Moment.AGAIN], seen[Moment.RELEASE])
        lines += _answer(f"{stop} again", seen[moment], sound[moment], seen[Moment.AGAIN])
    if moment in (Moment.MAINS_OFF, Moment.MAINS_ON):
        lines += _answer("mains lost and returned", seen[moment], sound[moment], seen[Moment.RELEASE])
    point = seen[moment].point
    for target in use.targets:
        if target.name in seen[moment].alive:
            lines.append(_fed(target, point))
    return tuple(lines)


def _appearing(faults: Sequence[Fault], first: Snapshot, sound: Snapshot) -> list[str]:
    """What the running machine makes of faults when they appear."""
    lines = []
    gone = [name for name in sound.alive if name not in first.alive]
    made = {path for fault in faults for path in fault.opened}
    blown = first.point.position.opened - sound.point.position.opened - made
    if blown:
        lines.append(does(sorted(blown), "opens on overload", "open on overload"))
    if gone:
        lines.append(does(gone, "loses its power at once", "lose their power at once"))
    else:
        lines.append("the machine runs on" if blown else "the machine runs on as before")
    return lines


def _answer(act: str, now: Snapshot, sound: Snapshot, before: Snapshot) -> list[str]:
    fallen = sorted(before.point.attracted - now.point.attracted)
    risen = sorted(now.point.attracted - before.point.attracted)
    stays = sorted((before.point.attracted & now.point.attracted) - sound.point.attracted)
    pieces = []
    if fallen:
        pieces.append(does(map(_name, fallen), "lets go", "let go"))
    if risen:
        pieces.append(does(map(_name, risen), "picks up", "pick up"))
    lines = [f"{act}: {'; '.join(pieces) if pieces else 'nothing answers'}"]
    for actuator in stays:
        coil = _coil_of(now.point, actuator)
        if coil is not None:
            way = feeding_path(now.point, actuator[0], (coil.a, coil.b))
            through = f", fed through {', '.join(way)}" if way else ""
            lines.append(f"{_name(actuator)} stays in{through}")
    return lines


def _fed(target: Target, point: OperatingPoint) -> str:
    for probe in target.probes:
        if probe_is_alive(probe, point):
            way = feeding_path(point, probe.part, (probe.a,))
            through = f" through {', '.join(way)}" if way else ""
            by = f" by {probe.part}" if probe.part != target.name else ""
            return f"{target.name} is still fed{by}{through}"
    return f"{target.name} is still fed"


def in_short(
    device: str,
    faults: Sequence[Fault],
    seen: Mapping[Moment, Snapshot],
    sound: Mapping[Moment, Snapshot],
    moment: Moment,
    use: StopUse,
) -> tuple[str, ...]:
    """The same in a line or two: what answers, and where the path differs from the machine without the fault."""
    now, before = seen[moment], seen[Moment.FAULT]
    fallen = sorted(before.point.attracted - now.point.attracted)
    acts = {
        Moment.STOP: f"press {device}",
        Moment.TRIED: f"press {device}, work the others",
        Moment.RELEASE: f"press and release {device}",
        Moment.DEMAND: f"press and release {device}, start, press it again",
        Moment.MAINS_ON: f"press and release {device}, mains lost and returned",
    }
    if device in use.let_go:
        acts = {
            Moment.STOP: f"let {device} go",
            Moment.TRIED: f"let {device} go, work the others",
            Moment.RELEASE: f"let {device} go, and every other hand",
            Moment.DEMAND: f"let {device} go, start and hold it, let it go again",
            Moment.MAINS_ON: f"let {device} go, mains lost and returned",
        }
    act = acts.get(moment, acts[Moment.MAINS_ON])
    answer = does(map(_name, fallen), "lets go", "let go") if fallen else "nothing answers"
    if len(fallen) > _NAMED:
        answer = f"{counted(len(fallen), 'coil')} let go"
    lines = [f"{act}: {answer}"]
    own = {fault.id for fault in faults} | {path for fault in faults for path in fault.closed}
    held = {actuator[0] for fault in faults for actuator in fault.on}
    told = []
    for actuator in sorted((before.point.attracted & now.point.attracted) - sound[moment].point.attracted):
        coil = _coil_of(now.point, actuator)
        way = _differing(now, sound[moment], actuator[0], coil) if coil is not None else []
        if own & set(way):
            told.append(f"{_name(actuator)} stays in through {', '.join(way)}")
    for target in use.targets:
        if target.name in now.alive:
            way = _target_way(target, now, sound[moment])
            if own & set(way):
                told.append(f"{target.name} is fed through {', '.join(way)}")
    if held and not told:
        told.append(does(sorted(held), "itself stays in", "themselves stay in"))
    return (*lines, *dict.fromkeys(told[:_TOLD]))


#: Coils that are named; more are counted.
_NAMED = 4
#: Ways told of one group: what follows from them says nothing new.
_TOLD = 3


def _differing(now: Snapshot, sound: Snapshot, part: str, load: Coil) -> list[str]:
    """The path to and from a load, without what conducts in the machine without the fault as well."""
    way = [*feeding_path(now.point, part, (load.a,)), *returning_path(now.point, part, load.b)]
    return _unlike(way, sound)


def _unlike(way: Sequence[str], sound: Snapshot) -> list[str]:
    position = sound.point.position
    edges = {edge.id: edge for edge in sound.point.lowered.edges}
    return [
        name
        for name in dict.fromkeys(way)
        if name not in sound.point.lowered.circuit.parts
        and (name not in edges or not is_closed(edges[name], position.moved, position.opened, position.closed))
    ]


def _target_way(target: Target, now: Snapshot, sound: Snapshot) -> list[str]:
    for probe in target.probes:
        if probe_is_alive(probe, now.point):
            way = [*feeding_path(now.point, probe.part, (probe.a,)), *returning_path(now.point, probe.part, probe.b)]
            return _unlike(way, sound)
    return []


def story_circuit(use: StopUse, now: Snapshot, sound: Snapshot, faults: Sequence[Fault]) -> frozenset[str]:
    """The conductors and contacts through which targets are fed and coils stay in, and those that the faults are at."""
    found = {name for fault in faults for name in (*fault.subjects, *fault.closed)}
    for target in use.targets:
        for probe in target.probes:
            if probe_is_alive(probe, now.point):
                found |= whole_circuit(now.point, probe.part, probe.a, probe.b)
    for actuator in now.point.attracted - sound.point.attracted:
        coil = _coil_of(now.point, actuator)
        if coil is not None:
            found |= whole_circuit(now.point, actuator[0], coil.a, coil.b)
    return frozenset(found)
