"""A contactor may fail closed, and the machine starts again as if nothing had happened.

Two contactors in series stop the machine although one has welded. Unless a mirror contact of each stands in the reset
loop, nobody sees it; then the second one welds. The fault must be found before the next start (category 3).
A break contact of a contactor in the reset loop that is no mirror contact is told too, as a CAUTION: it may close over
a welded pole, and mostly does not.

Fires on hot-wire at K1
    9.to=K0:S34
    10=
    11=
Quiet
    9.to=K1:21
    wires+={wire: 10, from: K1:22, to: K2:21, type: control}
    wires+={wire: 11, from: K2:22, to: K0:S34, type: control}
Not judged
    The inside of a safety relay and of a drive, which their makers answer for.
"""

from __future__ import annotations

from collections.abc import Sequence

from wiring.design.edits import taken_away
from wiring.design.rewiring import led_through
from wiring.design.stop.reset_loops import loop_starts, reset_contacts
from wiring.design.switching.dependence import depends_on
from wiring.findings import Cause, Mend
from wiring.parts.elements import Switch
from wiring.plan.edits import Edit, SetValue
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import agreeing, stops_called

RULE = Rule(
    slug="stop-feedback-missing",
    title="A contactor that fails closed stays unseen",
    signal=Signal.WARNING,
    harm="The first welded contactor goes unnoticed; the stop is lost with the second.",
    sources=(("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),),
)


def _unmarked(design: Design, told: set[str]) -> Judgements:
    """Break contacts in a reset loop that do not follow a welded pole for certain, each once."""
    found = {
        (name, contact.name): (owner, contact)
        for owner, start in loop_starts(design.machine)
        for name, contact in reset_contacts(design.machine, owner, start)
    }
    for (name, _), (owner, contact) in found.items():
        if not contact.mirror and name not in told:
            yield RULE.finding(
                (name, owner),
                f"{name}:{contact.name} in the reset loop of {owner} is no mirror contact, and may close "
                f"while a pole of {name} is welded",
                design.place(name, "contacts"),
                signal=Signal.CAUTION,
                mend=(
                    Mend(
                        f"Take a contactor with a mirror contact for {name} (`NC mirror`, IEC 60947-4-1, annex F).",
                        (SetValue(("parts", name, "contacts", contact.name), "NC mirror"),),
                    ),
                ),
            )


def check(design: Design) -> Judgements:
    """The parts that may fail unseen, told together for stops that they defeat alike, and each unmarked contact."""
    unseen = design.stopping.unseen_welds
    yield from _unmarked(design, {part for parts in unseen.values() for part in parts})
    alike: dict[tuple[tuple[str, tuple[str, ...]], ...], list[str]] = {}
    for name, parts in unseen.items():
        second = tuple((part, tuple(others)) for part, others in parts.items() if others)
        if second:
            alike.setdefault(second, []).append(name)
    for second, names in alike.items():
        yield _finding(design, second, names)


def _put_in_loop(design: Design, name: str) -> tuple[Edit, ...]:
    """A mirror contact that is bridged without its bridge; one that is passed by led through."""
    for switch in design.parts[name].of(Switch):
        if not switch.mirror:
            continue
        one, other = (name, switch.a), (name, switch.b)
        bridges = [wire for wire in design.circuit.conductors_at(one) if wire.other(one) == other]
        if bridges:
            return taken_away(design, bridges)
        edits = led_through(design, one, other) or led_through(design, other, one)
        if edits:
            return edits
    return ()


def _finding(design: Design, second: Sequence[tuple[str, tuple[str, ...]]], names: Sequence[str]) -> Judgement:
    (first, others), *rest = second
    stops = f"{stops_called(names)} {agreeing(names, 'is', 'are')}"
    resets = [reset for name in names if (reset := design.plan.stops[name].reset)]
    feeds = depends_on(design.machine, (*(part for part, _ in second), *others, *resets))
    return RULE.finding(
        (first, *(part for part, _ in rest), *names),
        f"{first} may fail closed unseen; {stops} lost when {' or '.join(others)} fails next",
        design.place(first),
        because=tuple(Cause(design.place(part), "may fail closed unseen as well") for part, _ in rest),
        mend=(
            Mend(
                "Put a mirror contact (break) of each of them in series into the reset loop.",
                tuple(edit for part, _ in second for edit in _put_in_loop(design, part)),
            ),
        ),
        rests=(scope("part", *feeds) | scope("supply", *feeds),),
    )
