"""A stop device does not take the power away from everything that can hurt.

Every device of a stop is worked on the running machine. Contacts, coils and safety relays follow; outputs that a
program drives are taken as stuck on, since a stop must not rest on software. What is still fed after that is named,
with the contacts through which it is fed.

This looks at the stop without a fault in it. Single faults are proved by the stop proof.

Fires on hot-wire at E1
    L5.from=F1:2
Quiet
    L5.from=K2:2
Not judged
    Valves, fans outside the cabinet, lamps above 10 W and other loads of which the plan does not say whether they can
    hurt (`hazardous: true`, or `false`); heaters, pumps, motors and process sources do unless it says that they do not,
    or a heater stands in the cabinet.
    A machine with hazards and no `stops`. A hazard that no state feeds. A stop of category 1 or 2, whose power may
    stay on for a time.
"""

from __future__ import annotations

from collections.abc import Sequence, Set

from wiring.control.script import Moment
from wiring.design.edits import taken_away
from wiring.design.stop.behind_stop import fed_behind_stop, probes_left
from wiring.design.stop.bypass_conductors import PastContacts
from wiring.design.stop.hazards import hazards
from wiring.design.stop.stops import StopEffect
from wiring.effort import TooMuchError
from wiring.findings import Cause, Mend, Number
from wiring.parts.elements import Switch
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.wording import agreeing, does

RULE = Rule(
    slug="stop-leaves-hazard",
    title="Stop leaves something alive that can hurt",
    signal=Signal.DANGER,
    harm="The stop is pressed because someone is in danger, and the machine goes on.",
    sources=(("iec", iec_60204("9.2.3.4.2", Standing.ONE_SOURCE)), ("na", nfpa_79("9.2.5.4.1"))),
)


def check(design: Design) -> Judgements:
    """Every device of every stop; devices that leave the same parts alive share one finding."""
    dangerous = [part.name for part in hazards(design.circuit)]
    if dangerous and not design.plan.stops:
        yield RULE.not_judged(tuple(dangerous), "the stop functions of the machine (`stops`)")
    yield from RULE.ask(
        (part.name for part in design.parts.values() if part.data.hazardous is None and part.data.may_be_hazard()),
        "whether a stop must take its power away (`hazardous: true`, or `false`)",
    )
    shared: dict[tuple[str, tuple[str, ...], str], list[StopEffect]] = {}
    idle: dict[str, set[str]] = {}
    for effect in design.stops:
        if effect.left:
            shared.setdefault((effect.stop, effect.left, effect.state), []).append(effect)
        idle.setdefault(effect.stop, set()).update(effect.idle)
    for (stop, left, _), effects in shared.items():
        yield _finding(design, stop, left, effects)
    yield from by_proof(design, _gone(design))
    for stop, parts in idle.items():
        yield from RULE.ask(parts, f"a state in which they are fed, to see what stop {stop} takes away")


def _gone(design: Design) -> Set[tuple[str, str, str]]:
    """What the effects of the stops take as dead in every state, by stop, device and part."""
    gone, left = set(), set()
    for effect in design.stops:
        gone |= {(effect.stop, effect.device, name) for name in (*effect.removed, *effect.idle)}
        left |= {(effect.stop, effect.device, name) for name in effect.left}
    return gone - left


def by_proof(design: Design, gone: Set[tuple[str, str, str]]) -> Judgements:
    """What the proof says that a stop leaves alive: while other operators are worked, or by itself, what is held
    to be `gone`, by stop, device and part."""
    shared: dict[tuple[str, str, tuple[str, ...], str], list[str]] = {}
    for result in design.stop_proof.results.values():
        stop = result.use.called
        for sound in result.news:
            for name in sound.left:
                hands = sound.worked.get((Moment.TRIED, name), ())
                if hands:
                    words = f" while {does(hands, 'is worked', 'are worked')}"
                    shared.setdefault((stop, name, hands, words), []).append(sound.device)
                elif (result.use.name, sound.device, name) in gone:
                    shared.setdefault((result.use.name, name, (), result.use.while_), []).append(sound.device)
            for name in sound.on_demand:
                yield _second_demand(design, stop, sound.device, name)
    for (stop, name, hands, words), devices in shared.items():
        what = f"what {does(hands, 'switches', 'switch')}" if hands else "it"
        yield RULE.finding(
            (name, *hands, *devices),
            f"{does(devices, f'of stop {stop} leaves', f'of stop {stop} leave')} {name} alive{words}",
            design.place(hands[0]) if hands else design.reading.place("stops", stop),
            because=(Cause(design.place(name), "stays fed"),),
            mend=(f"Lead {what} through contacts that the stop opens.",),
        )


def _second_demand(design: Design, stop: str, device: str, name: str) -> Judgement:
    return RULE.finding(
        (name, device),
        f"{device} of stop {stop} leaves {name} alive when it is worked again after the reset",
        design.place(device),
        because=(Cause(design.place(name), "stays fed"),),
        mend=("Let nothing that the reset switches on bridge a contact that the stop opens.",),
    )


def _finding(design: Design, stop: str, left: tuple[str, ...], effects: list[StopEffect]) -> Judgement:
    devices = tuple(effect.device for effect in effects)
    path = next((effect.paths[part] for effect in effects for part in left if effect.paths.get(part)), ())
    past = [one for one in _past_contacts(design) if not set(one.contacts) & set(path)]
    through = f", fed through {', '.join(path)}" if path else ""
    through += "".join(f", past {', '.join(one.contacts)} by {one.conductor}" for one in past)
    removed = len(effects[0].removed)
    verb = "leaves" if len(devices) == 1 else "leave"
    return RULE.finding(
        (*left, *devices, *(one.conductor for one in past)),
        f"{' and '.join(devices)} of stop {stop} {verb} {', '.join(left)} alive{effects[0].while_}{through}",
        design.reading.place("stops", stop),
        because=tuple(Cause(design.place(part), "stays fed") for part in left),
        numbers=(Number("removed", float(removed), "", "parts"), Number("left alive", float(len(left)), "", "parts")),
        mend=(
            *_bridges_away(design, devices),
            Mend(
                "Feed it behind contacts that the stop opens: two contactors in series, driven by the safety relay, "
                "with their mirror contacts in the reset loop.",
                fed_behind_stop(design, effects[0], probes_left(design, effects[0])),
            ),
        ),
        holds=scope("part", *devices) | scope("stop", stop),
    )


def _past_contacts(design: Design) -> Sequence[PastContacts]:
    """The conductors past contacts of the stop; none where the proof that tells them takes too much, as `by_proof` says
    then: what stays alive without any fault is told all the same."""
    try:
        return design.stopping.past_contacts
    except TooMuchError:
        return ()


def _bridges_away(design: Design, devices: tuple[str, ...]) -> list[Mend]:
    """The conductors that bridge contacts of the devices."""
    pairs = [{(name, one.a), (name, one.b)} for name in devices for one in design.parts[name].of(Switch)]
    found = [wire for wire in design.circuit.conductors if set(wire.ends) in pairs]
    names = [wire.id for wire in found]
    words = f"Take {', '.join(names)} away, which {agreeing(names, 'bridges', 'bridge')} {' and '.join(devices)}."
    return [Mend(words, taken_away(design, found))] if found else []
