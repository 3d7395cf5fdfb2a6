"""A state runs a motor or switches a load on, and nothing feeds it there.

Every current, every drop and every stop is judged in the states of the plan: what no state feeds is judged nowhere, and
its silence must not read as safe. Where a start button brings it, that button is taken as pressed: a NOTICE says so.

Fires on fan-heater at M1
    S1.kind=pressure-switch
Quiet
    S1.kind=selector
Not judged
    A motor or process load that no state names and none feeds; one that some states turn off is on in the others. A
    plan without `mains` or another source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from wiring.control.script import operators_of, operators_on
from wiring.design.motor.demands import worked_operators
from wiring.design.operation import UNNAMED_STATE
from wiring.design.stop.hazards import drives_of, hazards, is_live, probes_of, run_inputs
from wiring.design.stop.starts import told_though_off, unfed, untold
from wiring.design.switching.dependence import depends_on
from wiring.parts.elements import Switch
from wiring.parts.motors import Shaft
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed, natural

RULE = Rule(
    slug="state-not-fed",
    title="Nothing feeds what a state runs",
    signal=Signal.CAUTION,
    harm="The machine does not do what the plan says, and what hangs on that part is judged without its current.",
    sources=(
        ("iec", iec_60204("17.2")),
        ("na", nfpa_79("17.2")),
    ),
    gravest=Signal.WARNING,
)


def check(design: Design) -> Judgements:
    """Each part with the states that leave it dead, each button that is taken as pressed, what no state feeds."""
    if not any(pole.main for pole in design.nets.poles):
        return
    dead: dict[str, list[str]] = {}
    for state, point in design.states.items():
        for name in unfed(design.machine, design.state_entries[state], point):
            dead.setdefault(name, []).append(state)
    for name, states in dead.items():
        if design.plan.states or any((name, end) in design.nets.joined for end in design.parts[name].terminals):
            yield _finding(design, name, states)
    yield from _told(design)
    yield from _pressed(design)
    yield from _never(design, set(dead))


def _finding(design: Design, name: str, states: list[str]) -> Judgement:
    known = states if states != [UNNAMED_STATE] else []
    where = f"in state {', '.join(known)}" if known else "at its work"
    feeds = depends_on(design.machine, (name, *(drive.name for drive in drives_of(design.parts[name], design.axes))))
    drives = drives_of(design.parts[name], design.axes)
    if all(untold(design.machine, name, design.states[state]) for state in states):
        said = f"{name} is to run {where}, and nothing tells {listed([drive.name for drive in drives])} to run it"
    else:
        said = f"{name} is to run {where}, and nothing feeds it"
    return RULE.finding(
        (name, *known),
        said,
        design.reading.place("states", known[0], *([name] if name in design.state_entries[known[0]] else []))
        if known
        else design.place(name),
        mend=_ways(design, name, states[0], feeds),
        rests=(frozenset().union(*(scope(kind, *feeds) for kind in ("part", "supply", "misfit", "shorted"))),),
    )


def _told(design: Design) -> Judgements:
    """The motors that a state turns off and that it tells to run all the same."""
    found: dict[str, list[str]] = {}
    for state, point in design.states.items():
        for name in told_though_off(design.machine, design.state_entries[state], point):
            found.setdefault(name, []).append(state)
    for name, states in found.items():
        parts = drives_of(design.parts[name], design.axes)
        drives = [drive.name for drive in parts]
        nets = [design.nets.of[drive.name, end] for drive in parts for end, _ in run_inputs(drive)]
        near = {edge.part for net in nets for edge in design.nets.edges_at.get(net, ())}
        by = sorted(near - set(drives), key=natural)
        yield RULE.finding(
            (name, *drives, *by, *states),
            f"{name} is off in state {', '.join(states)}, and {listed(drives)} is told to run it there"
            + (f", by {listed(by)}" if by else ""),
            design.place(drives[0]),
            signal=Signal.WARNING,
            mend=(f"Lead the run input of {listed(drives)} to what is to start {name} alone.",),
        )


def _ways(design: Design, name: str, state: str, feeds: Collection[str]) -> Iterator[str]:
    """What to look at, the contacts that stand open on the way by name; what the state may mean is only asked."""
    found = [f"{part}:{contact}" for part in sorted(feeds, key=natural) for contact in _open(design, part, state)]
    verb = "stands" if len(found) == 1 else "stand"
    told = f": {listed(found)} {verb} open then, which may be the wrong contact" if found else ""
    yield f"Find where the way from the source to {name} is open{told}."
    if found and state != UNNAMED_STATE:
        part = found[0].split(":")[0]
        yield f"Is it right that {part} stands worked all through {state}? Then write `{part}: worked` there."


def _open(design: Design, name: str, state: str) -> Iterator[str]:
    """The contacts of a part that a hand, the machine or the process moves and that stand open in a state."""
    moved = design.states[state].position.moved
    hands = set(operators_on(design.parts[name]))
    for switch in design.parts[name].of(Switch):
        actuator = name, switch.actuator
        used = {(name, switch.a), (name, switch.b)} <= design.nets.joined
        if used and actuator in hands and switch.closed_at_rest == (actuator in moved):
            yield switch.name


def _pressed(design: Design) -> Judgements:
    """The start buttons that a state needs and does not name, button by button."""
    hands = {one.actuator for one in operators_of(design.circuit)}
    found: dict[str, list[str]] = {}
    for state, point in design.states.items() if design.plan.states else ():
        worked = worked_operators(design.circuit, design.state_entries[state])
        for name, _ in sorted((point.position.moved & hands) - worked):
            found.setdefault(name, []).append(state)
    for name, states in found.items():
        yield RULE.finding(
            (name, *states),
            f"{name} is taken as pressed in state {', '.join(states)}, which does not run without it",
            design.reading.place("states", states[0]),
            signal=Signal.NOTICE,
            mend=(
                f"Is {name} to be held all the while? Then write `{name}: worked` in {', '.join(states)}; else a "
                "contact that holds its circuit closed when it is let go is missing.",
            ),
        )


def _never(design: Design, told: set[str]) -> Judgements:
    """What can hurt, is wired, and is alive in no state; a state that turns it off has been thought of."""
    for part in hazards(design.circuit):
        named = any(part.name in entries for entries in design.state_entries.values())
        wired = any((part.name, end) in design.nets.joined for end in part.terminals)
        dead = not any(is_live(part, design.axes, point) for point in design.states.values())
        if not dead or not wired or part.name in told or not probes_of(part, design.axes):
            continue
        on = [state for state, entries in design.state_entries.items() if part.name not in entries]
        if named and on and not isinstance(part.data, Shaft):
            yield _finding(design, part.name, on)
        elif not named:
            yield RULE.not_judged((part.name,), f"a state in which {part.name} is fed", design.place(part.name))
