"""A contact moves, and nothing in the network changes.

A contact is there so that something follows: a coil lets go, an input hears of it, a load starts. One that metal
bridges never parts anything; a part of whose contacts none stands in a circuit is heard by nobody, however often it
trips. What protects is told as a warning. A relay of which no contact is wired may switch what this plan does not show,
and is a notice; a contactor of which only auxiliary contacts are wired has been left out of its circuit.

Fires on sorting-gate at B2
    wires+={wire: 35, from: B2:11, to: B2:12, type: control}
Quiet
    35=
Not judged
    Whether the right thing follows: `cut-out-without-effect`, `control-sense-reversed` and the rules on stops say that.
Known limits
    A relay that keeps nothing but itself picked up is taken as in use.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring.circuit.model import Conductor
from wiring.design.connection.contact_effects import Contact, Effect, contact_effects
from wiring.design.edits import taken_away
from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.traits import Purpose
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import does, listed

RULE = Rule(
    slug="part-without-effect",
    title="A contact moves and nothing follows",
    signal=Signal.CAUTION,
    harm="What the part is there for does not happen, and the plan reads as if it did.",
    sources=(("iec", iec_60204("9.4.1, 17.2")), ("na", nfpa_79("9.4.1, 17.5"))),
    gravest=Signal.WARNING,
)


def check(design: Design) -> Judgements:
    """Every bridged contact, and every part that is wired and of whose contacts none does anything."""
    effects = contact_effects(design.machine)
    for part in design.parts.values():
        purpose = part.data.idle_without_contacts()
        if purpose is None:
            continue
        bridged = [one for one in part.of(Switch) if effects[part.name, one.name] is Effect.BRIDGED]
        for switch in bridged:
            yield from _bridged(design, part, switch, purpose)
        if not bridged and _is_idle(design, part, effects):
            yield _idle(design, part, purpose, effects)


def _is_idle(design: Design, part: Part, effects: Mapping[Contact, Effect]) -> bool:
    """Whether a part is wired, and none of its contacts does anything; one half wired is told by `terminal-open`."""
    names = part.data.working_contacts()
    found = {effects[part.name, one.name] for one in part.of(Switch) if names is None or one.name in names}
    wired = any((part.name, end.name) in design.nets.joined for end in part.terminals.values())
    return wired and bool(found) and Effect.WORKS not in found and part.name not in design.machine.open_terminals


def _bridged(design: Design, part: Part, switch: Switch, purpose: Purpose) -> Judgements:
    ends = (part.name, switch.a), (part.name, switch.b)
    way = design.nets.path(*ends)
    if way:
        yield _across(design, part, switch, purpose, way)


def _across(design: Design, part: Part, switch: Switch, purpose: Purpose, way: Sequence[Conductor]) -> Judgement:
    names = [one.id for one in way]
    edits = taken_away(design, way) if len(way) == 1 else ()
    bridges = does(names, "bridges", "bridge")
    return RULE.finding(
        (part.name, *names),
        f"{bridges} {part.name}:{switch.name}: nothing changes when {part.name} {purpose.acts}",
        way[0].place,
        signal=Signal.WARNING if purpose.protects else RULE.signal,
        mend=(Mend(f"Take {listed(names)} away from {part.name}:{switch.name}.", edits),),
        rests=(scope("part", part.name) | scope("conductor", *names),),
    )


def _idle(design: Design, part: Part, purpose: Purpose, effects: Mapping[Contact, Effect]) -> Judgement:
    contacts = {(part.name, end) for switch in part.of(Switch) for end in (switch.a, switch.b)}
    ends = contacts & design.nets.joined
    near = {name for end in ends for name, _ in design.nets.members[design.nets.of[end]]}
    others = [one.name for one in part.of(Switch) if effects[part.name, one.name] is Effect.WORKS]
    what = f"no main pole of it stands in a circuit, only {listed(others)}" if others else ""
    return RULE.finding(
        (part.name,),
        f"{part.name} {purpose.acts} and nothing follows: {what or 'none of its contacts stands in a circuit'}",
        design.place(part.name),
        signal=Signal.WARNING if purpose.protects else RULE.signal if ends else Signal.NOTICE,
        mend=(f"Lead what {part.name} is to act on through its contact, or take {part.name} out of the plan.",),
        rests=(scope("part", part.name, *near) | scope("stop", *(design.plan.stops if others else ())),),
    )
