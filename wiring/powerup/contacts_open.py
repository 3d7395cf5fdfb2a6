"""Every contact that must open is seen to open on the dead machine, where no live row tells it from others: past it,
between the far ends of the conductors at it, so that one in the neighbour's terminal shows as well as a contact that
sticks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wiring.circuit.model import Conductor, Inner, Node, named
from wiring.circuit.roles import Role
from wiring.parts.elements import Pole, Switch
from wiring.parts.heating import ThermalCutOut
from wiring.parts.motors import Shaft
from wiring.parts.protection import ResidualCurrentDevice
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.powerup.builder import LEAST_V, UNPLUGGED, Builder, practice
from wiring.powerup.feedback import is_seen_cold
from wiring.powerup.machine import Fault, on_value
from wiring.powerup.ohms import measure
from wiring.powerup.step import Event, Line, Meter, Setting, Sort, Stage, Who
from wiring.powerup.wires import JOINED_OHM, all_off_setting

#: What a reading past a pole is worth: the conductor at either side of it may sit at the other.
_ENDS = 2


def poles_open(to: Builder) -> None:
    """Make contacts of contactors and relays that lie in a row with another one, or straight ahead of a motor, which is
    unplugged while the control is tried: no lamp tells that one of them alone stays closed, but a mirror contact would.
    """
    makes = {end: path for path in _contacts(to) if _is_make(path) for end in (path.a, path.b)}
    found = [path for path in dict.fromkeys(makes.values()) if _is_hidden(to, path, set(makes))]
    _past(to, Stage.POLARITY, UNPLUGGED, _each_once(to, found), "at rest")


def devices_open(to: Builder) -> None:
    """Past every fuse and breaker in the mains behind which nothing is seen to be dark while it is out, from where a
    probe stood for the main switch if that is the same metal.

    Past every pole of one that has several: what is behind them is dark as soon as one of them is open, and a pole that
    a conductor goes past clears no earth fault. For the annex where nothing is left uncleared: a neutral has no earth
    fault to clear, and behind a residual current device that device does.
    """
    setting = all_off_setting(to)
    poles = [path for path in to.design.circuit.inner if isinstance(path.element, Pole)]
    mains = [path for path in poles if path.part in to.survey.devices and to.survey.is_mains(path.part)]
    stood = [line.black for line in to.lines if line.stage is Stage.MAINS and line.black]
    several = {path.part for path in mains if len(to.survey.poles([path.part])) > 1}
    hidden = [path for path in mains if path.part in several or not _is_seen_dark(to, path.part)]
    for in_annex in (False, True):
        with to.annex(in_annex):
            known = len(to.lines)
            some = [path for path in hidden if (path.part in several and _is_cleared(to, path)) is in_annex]
            _past(to, Stage.MAINS, setting, some, "out", Who.QUALIFIED, stood)
            to.offered |= {line.action: _ENDS for line in to.lines[known:] if in_annex}


def _is_cleared(to: Builder, pole: Inner) -> bool:
    """Whether an earth fault behind a pole is cleared without it, or cannot be."""
    if to.design.roles.role.get(pole.a) is Role.NEUTRAL:
        return True
    parts = to.design.parts
    watched = {name for name, part in parts.items() if isinstance(part.data, ResidualCurrentDevice)}
    ahead = to.design.circuit.walk([pole.a], lambda edge, _far: getattr(edge, "part", "") not in {pole.part, *watched})
    return any(end[0] in watched for end in ahead) and not ahead.keys() & set(to.survey.inlet.values())


def worked_contacts_open(to: Builder) -> None:
    """Break contacts that a trip or a hand opens and no live row sees alone: all of them worked at once."""
    stops = {name for stop in to.design.plan.stops.values() for name in stop.devices}
    found = [path for path in _contacts(to) if isinstance(path.element, Switch) and path.element.closed_at_rest]
    hidden = [
        path
        for path in found
        if (path.part in to.survey.hand_worked and not _is_worked_live(to, path.part))
        or _actuator(path) == "trip"
        or (path.part in stops and not _is_seen_alone(to, path))
    ]
    hot = {path.part for path in hidden if isinstance(to.design.parts[path.part].data, ThermalCutOut)}
    for name in sorted(hot):
        to.ask(f"{Stage.POLARITY.number} {name}: not judged: that it opens when it is hot; no hand works it")
    hidden = [path for path in hidden if path.part not in hot]
    held = Setting(False, moved=frozenset((path.part, _actuator(path)) for path in hidden))
    _past(to, Stage.POLARITY, held, hidden, "worked")


def _contacts(to: Builder) -> Iterator[Inner]:
    """Contacts with a conductor at either end."""
    for path in to.design.circuit.inner:
        if isinstance(path.element, Switch) and all(to.survey.numbers(end) for end in (path.a, path.b)):
            yield path


def _actuator(path: Inner) -> str:
    assert isinstance(path.element, Switch)
    return path.element.actuator


def _each_once(to: Builder, paths: Sequence[Inner]) -> list[Inner]:
    """Contacts without those that one already taken tells of: while they are closed it does not read open either."""
    found: list[Inner] = []
    for path in paths:
        probes = [(one.a, one.b) for one in found]
        if all(ohm is None for ohm in measure(to.survey.cold, UNPLUGGED, probes, closed=frozenset({path.id}))):
            found.append(path)
    return found


def _is_make(path: Inner) -> bool:
    assert isinstance(path.element, Switch)
    return path.element.actuator == "coil" and not path.element.closed_at_rest


def _is_hidden(to: Builder, path: Inner, makes: set[Node]) -> bool:
    """Whether behind a contact, where nothing is live yet, another make contact or a motor follows."""
    if not isinstance(to.design.parts[path.part].data, Coiled) or is_seen_cold(to, path.part):
        return False
    waiting = to.run(Setting(True, to.survey.motor_wires)).point
    for end in (path.a, path.b):
        if max(abs(waiting.volts(end, kind) or 0.0) for kind in ("DC", "AC")) <= LEAST_V:
            reached = to.design.circuit.walk([end], lambda edge, _far: _leads(to, edge))
            parts = to.design.parts
            if any(isinstance(parts[far[0]].data, Shaft) for far in reached if far[0] in parts):
                return True
            if any(far in makes and far[0] != path.part for far in reached):
                return True
    return False


def _leads(to: Builder, edge: Conductor | Inner) -> bool:
    return isinstance(edge, Conductor) or edge.part in to.survey.set_devices


def _is_seen_dark(to: Builder, device: str) -> bool:
    """Whether a live row sees something dead behind a device while it is out."""
    poles, behind = to.survey.poles([device]), to.survey.nodes_behind[device]
    return any(
        line.setting.mains
        and poles <= line.setting.opened
        and line.red in behind
        and (line.expected.sort is Sort.BELOW or line.expected.value == 0.0)
        for line in to.lines
        if line.setting and not line.annex
    )


def _is_worked_live(to: Builder, name: str) -> bool:
    """Whether a row of the main sheet has a switch worked with the machine live."""
    return any(
        event.part == name for line in to.lines if line.setting and not line.annex for event in line.setting.events
    )


def _is_seen_alone(to: Builder, path: Inner) -> bool:
    """Whether a row with a stop device worked would read wrong if one of its contacts alone stayed closed."""
    press = Event(path.part, "operator", True)
    lines = [line for line in to.lines if not line.annex and _is_pressed(line, press)]
    relays = [line for line in lines if line.seen and isinstance(to.design.parts[line.seen[0]].data, SafetyRelay)]
    own = [one for one in _contacts(to) if one.part == path.part and _actuator(one) == "operator"]
    if len(relays) >= len(own):  # each opens a channel of its own
        return True
    for line in lines:
        assert line.setting is not None
        run = to.operator.run(line.setting, fault=Fault(closed=frozenset({path.id})))
        if on_value(run, line.seen, (line.red, line.black), line.on_v) != line.expected.value:
            return True
    return False


def _is_pressed(line: Line, press: Event) -> bool:
    return line.meter is Meter.SEEN and line.setting is not None and line.setting.events[-1:] == (press,)


def _past(
    to: Builder,
    stage: Stage,
    setting: Setting,
    paths: Sequence[Inner],
    when: str,
    who: Who = Who.BUILDER,
    stood: Sequence[Node] = (),
) -> None:
    """Past contacts that are open in a position, between the far ends of the conductors at each, or from where a probe
    `stood` if metal joins that with the near side."""
    ends = [
        (path, _far_end(to, setting, path.a, stood), far)
        for path in paths
        for far in _far_ends(to, path.b, every=stage is Stage.MAINS)
    ]
    told = [(path, a, b) for path, a, b in ends if a != b]
    if told:
        to.ohms(
            stage,
            setting,
            [(a, b) for _, a, b in told],
            [f"{path.part} {when}: past {path.id.split(':')[1]}, {named(a)} to {named(b)}" for path, a, b in told],
            "a contact does not open, or a conductor goes past it",
            practice("coil_resistance"),
            rows=[_row(stage, path, when) for path, _, _ in told],
            who=who,
        )


def _far_end(to: Builder, setting: Setting, end: Node, stood: Sequence[Node]) -> Node:
    beyond = to.survey.beyond(end)
    found = measure(to.survey.cold, setting, [(beyond, node) for node in stood])
    joined = (node for node, ohm in zip(stood, found, strict=True) if ohm is not None and ohm < JOINED_OHM)
    return next(joined, beyond)


def _far_ends(to: Builder, end: Node, *, every: bool) -> tuple[Node, ...]:
    """The far end of the first conductor at a terminal, or of every one of them."""
    wires = [wire for wire in to.design.circuit.conductors_at(end) if wire.kind != "shield"] if every else []
    return tuple(wire.other(end) for wire in wires) or (to.survey.beyond(end),)


def _row(stage: Stage, path: Inner, when: str) -> tuple[str, str]:
    return (f"Past what is {when}", path.id) if stage is Stage.MAINS else ("", f", past {path.id} {when}")
