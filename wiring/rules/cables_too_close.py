"""Cables that disturb run beside cables that listen.

Motor conductors of drives and mains conductors disturb; conductors of signals listen. Routes that hold them are taken
with the distance that the plan gives (`apart`), and one route that holds both with none. The distances are those that
makers of drives ask for; a screen around the motor cable lowers them. Runs of up to a metre need no distance.

Fires on sorting-gate at tray
    routes.tray={kind: tray, at: machine}
    C1.route=tray
    C2.route=tray
    C2.shield=
Quiet
    routes.loom={kind: loom, at: machine, apart: {tray: 300 mm}}
    C1.route=loom
Not judged
    Routes at one place whose distance the plan does not give; conductors without a route.
Known limits
    Crossings at a right angle, and dividers of metal in a duct, are not known to the plan. A screen counts even where
    it is bonded nowhere, because `shield-floating` tells that.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import count

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.edits import of_conductors
from wiring.design.nets import Net
from wiring.findings import Cause, Mend, Number
from wiring.parts.drives import Drive, Inverter, ServoDrive
from wiring.parts.elements import Function
from wiring.parts.signals import Encoder, IoCard, Isolator, Sensor
from wiring.plan.edits import AddEntry, Edit, SetValue, scalar
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.separation import separation
from wiring.rulebooks.signals import signal_limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="cables-too-close",
    title="Signals run too close to power",
    signal=Signal.CAUTION,
    harm="Lost or extra steps, phantom limits and stops, and an axis that is not where the program thinks.",
    sources=(("both", trade_practice("drive makers ask for 100 to 300 mm")),),
)


_LISTENERS = IoCard | Sensor | Encoder | Drive | Isolator


@dataclass(slots=True)
class _Lane:
    """What lies in a route: conductors that disturb, by their class, and those that listen."""

    loud: dict[str, list[Conductor]] = field(default_factory=dict)
    quiet: list[Conductor] = field(default_factory=list)


def _drive_nets(design: Design) -> set[Net]:
    return {
        design.nets.of[part.name, terminal.name]
        for part in design.parts.values()
        if isinstance(part.data, Inverter | ServoDrive)
        for terminal in part.terminals.values()
        if terminal.function is Function.MOTOR
    }


def _lanes(design: Design) -> dict[str, _Lane]:
    screened = {cable.cable for cable in design.plan.cables if cable.shield is not None and cable.shield.ends}
    drives = _drive_nets(design)
    steppers = {axis.drive.name for axis in design.axes.values()}
    lanes: dict[str, _Lane] = {}
    for conductor in design.circuit.conductors:
        if conductor.route is None or conductor.kind == "shield":
            continue
        screen = "screened" if conductor.cable in screened else "unscreened"
        role = design.roles.of_conductor(conductor)
        lane = lanes.setdefault(conductor.route, _Lane())
        if design.nets.of[conductor.a] in drives or (role is Role.MOTOR and {e[0] for e in conductor.ends} & steppers):
            lane.loud.setdefault(f"{screen} motor", []).append(conductor)
        elif role in (Role.LIVE, Role.NEUTRAL) and screen == "unscreened":
            lane.loud.setdefault("unscreened power", []).append(conductor)
        elif role is Role.SIGNAL and _listens(design, conductor):
            lane.quiet.append(conductor)
    return lanes


def _floating_screens(design: Design, conductors: Iterable[Conductor]) -> list[str]:
    """The cables of some conductors whose screen is bonded nowhere, and so screens nothing."""
    cables = dict.fromkeys(c.cable for c in conductors if c.cable is not None)
    shields = {name: design.origins.cables[name].shield for name in cables}
    return [name for name, shield in shields.items() if shield is not None and not shield.ends]


def _listens(design: Design, conductor: Conductor) -> bool:
    """Whether a signal is read by electronics; the channels of a safety relay bear noise."""
    members = design.nets.members[design.nets.of[conductor.a]]
    return any(isinstance(design.parts[n[0]].data, _LISTENERS) for n in members if n[0] in design.parts)


def _run_m(first: list[Conductor], second: list[Conductor]) -> float:
    """The longest way that two groups can run along each other [m]; unknown lengths count as long."""
    longest = [max(float("inf") if c.length_m is None else c.length_m for c in group) for group in (first, second)]
    return min(longest)


def check(design: Design) -> Judgements:
    """Every route with signals against every route with power."""
    short = signal_limit("short_parallel_run_max").value
    lanes = _lanes(design)
    unknown: set[str] = set()
    for quiet_name, quiet in sorted(lanes.items()):
        for loud_name, loud in sorted(lanes.items()):
            worst = _worst(quiet, loud, short) if quiet.quiet else None
            if worst is None:
                continue
            sort, limit = worst
            apart = _apart(design, quiet_name, loud_name)
            if apart is None:
                if design.plan.routes[quiet_name].at == design.plan.routes[loud_name].at:
                    unknown |= {quiet_name, loud_name}
            elif apart * 1000.0 < limit.value * (1 - 1e-6):
                yield _finding(design, (quiet_name, quiet), (loud_name, loud.loud[sort]), apart, sort, limit)
    if unknown:
        yield RULE.not_judged(sorted(unknown), "how far these routes lie apart (`apart: {other-route: 200 mm}`)")


def _worst(quiet: _Lane, loud: _Lane, short: float) -> tuple[str, Limit] | None:
    found = []
    for sort, conductors in loud.loud.items():
        limit = separation(sort, "signal")
        if not isinstance(limit, NotTabled) and _run_m(quiet.quiet, conductors) > short:
            found.append((sort, limit))
    return max(found, key=lambda entry: (entry[1].value, entry[0]), default=None)


def _apart(design: Design, first: str, second: str) -> float | None:
    if first == second:
        return 0.0
    routes = design.plan.routes
    given = [routes[a].apart.get(b) for a, b in ((first, second), (second, first)) if a in routes]
    return min((value for value in given if value is not None), default=None)


def _apart_words(design: Design, signals: tuple[str, _Lane], loud: str, sort: str, limit: Limit) -> Mend:
    quiet, lane = signals
    words = f"Lay the signals {limit.value:.3g} mm away, in a route of their own (`apart`), crossing at a right angle."
    words += " A screened motor cable needs less." if sort.startswith("unscreened motor") else ""
    both = [(a, b) for a, b in ((quiet, loud), (loud, quiet)) if design.plan.routes[a].apart.get(b) is not None]
    text = f"{limit.value:g} mm"
    if quiet == loud:
        return Mend(words, _own_route(design, lane.quiet, loud, text))
    return Mend(words, tuple(SetValue(("routes", a, "apart", b), text) for a, b in both if a != b))


def _own_route(design: Design, signals: Sequence[Conductor], loud: str, text: str) -> tuple[Edit, ...]:
    """Signals in a route like that of what disturbs them, and apart from it."""
    name = next(free for n in count(1) if (free := f"signals-{n}") not in design.plan.routes)
    like = design.plan.routes[loud]
    entry = f"{{kind: {like.kind}, at: {like.at}, apart: {{{scalar(loud)}: {text}}}}}"
    added = AddEntry(("routes",), name, entry, list(design.plan.routes)[-1])
    return (added, *of_conductors(design, signals, "route", name))


def _finding(
    design: Design, quiet: tuple[str, _Lane], loud: tuple[str, list[Conductor]], apart: float, sort: str, limit: Limit
) -> Judgement:
    conductor = quiet[1].quiet[0]
    names = sorted({c.cable or c.id for c in quiet[1].quiet})
    loud_names = sorted({c.cable or c.id for c in loud[1]})
    shown = ", ".join(names[:4]) + (" …" if len(names) > 4 else "")
    where = f"in {quiet[0]} itself" if quiet[0] == loud[0] else f"{apart * 1000:.3g} mm from {loud[0]}"
    return RULE.finding(
        (quiet[0], loud[0], *names, *loud_names) if quiet[0] != loud[0] else (quiet[0], *names, *loud_names),
        f"Signals {shown} run {where} with {sort} conductors {', '.join(loud_names[:4])}; "
        f"{limit.value:.3g} mm are asked",
        design.reading.place("routes", quiet[0]) if quiet[0] != loud[0] else conductor.place,
        because=[Cause(loud[1][0].place, "what disturbs")],
        numbers=(Number("apart", apart, "m", f"{quiet[0]} and {loud[0]}"),),
        limit=Limit(limit.value / 1000.0, "m", limit.source, limit.note),
        mend=(_apart_words(design, quiet, loud[0], sort, limit),),
        rests=(scope("cable", *_floating_screens(design, loud[1])),),
    )
