"""More conductors sit at a terminal than it takes.

How many fit is the maker's word (`wires_per_terminal`); a point of a terminal row takes one on either side. Where the
plan does not say, two are asked about and three are taken for too many. Protective conductors have a rule of their
own, `earth-terminal-shared`.

Fires on sorting-gate at X1
    10.from=X1:2
    6.from=X1:2
Quiet
    6.from=X1:3
Not judged
    Terminals with two conductors of parts whose plan gives no `wires_per_terminal`.
Known limits
    Two conductors in one double ferrule count as two.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor, named
from wiring.design.conductor.clamps import moved_off
from wiring.findings import Cause, Mend, Number
from wiring.parts.elements import Function
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.signals import signal_limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="terminal-overfilled",
    title="Too many conductors at a terminal",
    signal=Signal.CAUTION,
    harm="A strand that is not held works loose: a hot joint, an axis that drops out now and then, a fire.",
    sources=(("iec", iec_60204("13.1.1")), ("na", nfpa_79("13.1.1"))),
)


def check(design: Design) -> Judgements:
    """Every terminal but those of the protective earth."""
    usual = signal_limit("conductors_per_terminal_max")
    doubtful: set[str] = set()
    for part in design.parts.values():
        for terminal in part.terminals.values():
            wired = [c for c in design.circuit.conductors_at((part.name, terminal.name)) if c.kind != "shield"]
            if len(wired) < 2 or terminal.function is Function.PE:
                continue
            source = RULE.source(design.plan.rulebook)
            given = None if terminal.wires_max is None or source is None else Limit(terminal.wires_max, "", source)
            limit = given or usual
            if len(wired) > limit.value:
                yield _finding(design, (part.name, terminal.name), wired, limit)
            elif given is None:
                doubtful.add(part.name)
    yield from RULE.ask(doubtful, "how many conductors fit one terminal (`wires_per_terminal: 2`)")


def _finding(design: Design, node: tuple[str, str], wired: list[Conductor], limit: Limit) -> Judgement:
    wired.sort(key=lambda conductor: (conductor.place.line, conductor.place.column, conductor.id))
    most = int(limit.value)
    names = ", ".join(conductor.id for conductor in wired)
    return RULE.finding(
        (node[0], *(conductor.id for conductor in wired[most:])),
        f"{named(node)} takes {most} conductor{'s' if most > 1 else ''} and has {len(wired)}: {names}",
        wired[most].place,
        because=[Cause(conductor.place, "at the same terminal") for conductor in wired[:most]],
        numbers=(Number("conductors", float(len(wired)), "", named(node)),),
        limit=limit,
        mend=(
            Mend(
                f"Move {len(wired) - most} of them to a bridged row of terminals.",
                moved_off(design, node, wired[most:]),
            ),
        ),
    )
