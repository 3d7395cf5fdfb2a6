"""A fault told step by step: what was done, which contacts answered, and through what something stays fed."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Mapping, Sequence

from wiring.circuit.model import Conductor, Inner
from wiring.control.alive import probe_is_alive
from wiring.control.bench import Snapshot
from wiring.control.fault_record import Fault
from wiring.control.script import Moment, StopUse, Target
from wiring.parts.elements import Coil, Feed, Input, Output, Pole, Switch
from wiring.solver.assembly import Actuator
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint
from wiring.wording import does

_DEEPEST = 6


def feeding_path(point: OperatingPoint, part: str, terminals: Sequence[str]) -> tuple[str, ...]:
    """The contacts, poles, bridges and last conductor between a load and its source, the nearest to the load first.

    A supply on the way counts, and what feeds it follows.
    """
    found: list[str] = []
    for _ in range(_DEEPEST):
        step, source = _way(point, part, terminals)
        found += step
        feed = _input_of(point, source)
        if feed is None:
            break
        found.append(source)
        part, terminals = source, (feed.a,)
    return tuple(dict.fromkeys(found))


def _input_of(point: OperatingPoint, source: str) -> Input | None:
    part = point.lowered.circuit.parts.get(source)
    return next((e for e in part.elements if isinstance(e, Input)), None) if part is not None else None


def _way(point: OperatingPoint, part: str, terminals: Sequence[str]) -> tuple[list[str], str]:
    """The shortest closed way from a load to a source of its kind, and the part that the source belongs to."""
    lowered = point.lowered
    near: dict[int, list[tuple[int, str]]] = {}
    for edge in lowered.edges:
        if is_closed(edge, point.position.moved, point.position.opened, point.position.closed):
            label = "" if not _told(edge.source) else edge.id
            near.setdefault(edge.a, []).append((edge.b, label))
            near.setdefault(edge.b, []).append((edge.a, label))
    sources = _sources(point, part)
    starts = [lowered.index[part, terminal] for terminal in terminals]
    came: dict[int, tuple[int, str]] = {}
    seen, queue = set(starts), deque(starts)
    while queue:
        node = queue.popleft()
        if node in sources:
            labels = []
            at = node
            while at in came:
                at, label = came[at]
                labels.append(label)
            return [label for label in reversed(labels) if label], sources[node]
        for far, label in near.get(node, ()):
            if far not in seen:
                seen.add(far)
                came[far] = (node, label)
                queue.append(far)
    return [], ""


def _told(source: Conductor | Inner) -> bool:
    if isinstance(source, Conductor):
        return source.kind == "core"
    return (
        isinstance(source.element, Switch | Pole)
        or source.id != f"{source.part}:{source.element.a}-{source.element.b}"
        or ":" in source.part
    )


def _sources(point: OperatingPoint, load: str) -> dict[int, str]:
    index, circuit = point.lowered.index, point.lowered.circuit
    found = {
        index[part.name, element.plus]: part.name
        for part, element in circuit.elements(Output)
        if isinstance(element, Output) and part.name != load and element.name == "output"
    }
    for part, element in circuit.elements(Feed):
        if isinstance(element, Feed) and element.conductor not in ("N", "PE"):
            found[index[part.name, element.terminal]] = part.name
    return found


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
    operators: Collection[Actuator] = (),
) -> tuple[str, ...]:
    """The steps from the fault to the moment at which something is alive that must be dead."""
    lines = [" and ".join(fault.words for fault in faults)]
    first = seen[Moment.FAULT]
    gone = [name for name in sound[Moment.FAULT].alive if name not in first.alive]
    made = {path for fault in faults for path in fault.opened}
    blown = first.point.position.opened - sound[Moment.FAULT].point.position.opened - made
    if blown:
        lines.append(does(sorted(blown), "opens on overload", "open on overload"))
    if gone:
        lines.append(does(gone, "loses its power at once", "lose their power at once"))
    else:
        lines.append("the machine runs on" if blown else "the machine runs on as before")
    lines += _answer(f"press {device}", seen[Moment.STOP], sound[Moment.STOP], first)
    hands = sorted(part for part, _ in operators)
    if hands and moment is not Moment.STOP:
        lines += _answer(f"work {' and '.join(hands)}", seen[Moment.TRIED], sound[Moment.TRIED], seen[Moment.STOP])
    if moment not in (Moment.STOP, Moment.TRIED):
        lines += _answer(f"release {device}", seen[Moment.RELEASE], sound[Moment.RELEASE], seen[Moment.STOP])
    if moment in (Moment.MAINS_OFF, Moment.MAINS_ON):
        lines += _answer("mains lost and returned", seen[moment], sound[moment], seen[Moment.RELEASE])
    point = seen[moment].point
    for target in use.targets:
        if target.name in seen[moment].alive:
            lines.append(_fed(target, point))
    return tuple(lines)


def _answer(act: str, now: Snapshot, sound: Snapshot, before: Snapshot) -> list[str]:
    fallen = sorted(before.point.attracted - now.point.attracted)
    risen = sorted(now.point.attracted - before.point.attracted)
    stays = sorted((before.point.attracted & now.point.attracted) - sound.point.attracted)
    pieces = []
    if fallen:
        pieces.append(does(map(_name, fallen), "lets go", "let go"))
    if risen:
        pieces.append(does(map(_name, risen), "attracts", "attract"))
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
