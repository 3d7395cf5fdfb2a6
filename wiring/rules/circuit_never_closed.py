"""One pole of a source reaches a load or an input, and the other pole reaches it nowhere.

Asked of the network with every contact taken as closed: no switch can ever make current flow. A feed or a return is
missing, or leads to the rail of another source: a sensor whose 0 V ends in a row of terminals, a pulse input between
the 24 V of one supply and the return of another. Loads that miss the same pole are told together.

Fires on sorting-gate at B1
    X2.bridged=[1-4, 6-10]
Quiet
    X2.bridged=[1-10]
Not judged
    A load that no source reaches at either end. An input that hangs on a signal whose driver the plan does not show,
    such as a port or an encoder.
Known limits
    A supply whose own input is open is told by `supply-never-live`, a stop relay by the rules on stops, a load that
    returns through the earth by `earth-carries-current`.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.circuit.model import named
from wiring.design.connection.never_closed import DeadLoad, dead_loads, is_other_pole, meet_at_earth
from wiring.design.rewiring import led_from, place_on
from wiring.findings import Finding, Mend, Scope
from wiring.parts.motors import Motor
from wiring.parts.signals import IoCard
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="circuit-never-closed",
    title="No way back to the source",
    signal=Signal.CAUTION,
    harm="It never runs, or the controller never hears of it: a limit or a sensor that everyone relies on is deaf.",
    sources=(("iec", iec_60204("17.2")), ("na", nfpa_79("17.5"))),
)


def check(design: Design) -> Judgements:
    """Every load and input that is wired at both ends; those that miss one pole are told together."""
    tell = partial(_finding, design)
    for n, group in enumerate(dead_loads(design)):
        for dead in group:
            held = {("part", dead.part.name), ("supply", dead.pole.source), *_bonds(design, dead)}
            rests = scope("part", dead.part.name, *dead.opened) | scope("end", *(named(node) for node in dead.ends))
            rests |= scope("pair", *(f"{dead.part.name}|{source}" for source in dead.sources))
            yield Item(n, dead, tell, frozenset(held), (rests,))


def _bonds(design: Design, dead: DeadLoad) -> Scope:
    """The rail that floats because its bond to the earth lies beyond the open end."""
    return scope("bond", dead.pole.source) if dead.beyond & design.nets.bonds_at.keys() else frozenset()


def _led(design: Design, rows: Sequence[DeadLoad], what: str) -> Mend | None:
    """A conductor from the pole that lacks to the metal that all of them share."""
    shared = frozenset.intersection(*(row.beyond for row in rows))
    pole = next((p for p in design.nets.poles if p.main and is_other_pole(design, p, [rows[0].pole])), None)
    if pole is None:
        return None
    for net in sorted(shared, key=lambda net: (-len(design.nets.members[net]), net)):
        node = next((node for node in design.nets.members[net] if node[0] in design.parts), None)
        found = place_on(design, node) if node is not None else None
        if found is not None:
            led = led_from(design, pole.node, found[0])
            return Mend(f"Lead {what} to {named(found[0])}.", (*found[1], *led)) if led else None
    return None


def _called(row: DeadLoad) -> str:
    """A load by its name; an input of a card by its terminal, and of a motor with three phases the phase."""
    data = row.part.data
    if isinstance(data, IoCard):
        return next((named(node) for node in row.ends if node[1] in data.inputs), row.part.name)
    phase = isinstance(data, Motor) and data.phases == "3"
    return f"a phase of {row.part.name}" if phase else row.part.name


def _finding(design: Design, rows: Sequence[DeadLoad]) -> Finding:
    source = rows[0].pole.source
    signs = {row.pole.sign for row in rows}
    missing = {"+": "return", "-": "plus"}.get(rows[0].pole.sign, "") if len(signs) == 1 else ""
    what = f"the {missing} of {source}" if missing else f"another pole of {source}"
    names = list(dict.fromkeys(row.part.name for row in rows))
    ends = list(dict.fromkeys(named(row.end) for row in rows))
    near = [c for row in rows for c in design.circuit.conductors_at(row.end) if c.kind != "shield"]
    return RULE.finding(
        (*names, source),
        f"The current of {listed(names)} returns by the protective earth alone: nothing else joins {listed(ends)} to "
        f"{what}"
        if all(meet_at_earth(design, [row.pole], row.beyond) for row in rows)
        else f"No current can flow through {listed(list(dict.fromkeys(map(_called, rows))))}: {what} does not reach "
        f"{listed(ends)}",
        near[0].place if near else design.place(names[0]),
        mend=(
            _led(design, rows, what) or f"Lead {what} to {ends[0]}, or find where the way from there is open.",
            f"Or take {names[0]} out of the plan if it is not used.",
        ),
    )
