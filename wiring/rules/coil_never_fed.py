"""A coil, or an input of a stop relay, that no position of the machine can ever feed.

It has a circuit, but the contacts in it can never be closed together: a make contact of a contactor in the reset loop
that has to be closed before the contactor can come in, two contacts of one button of which one always stands open, a
relay that waits for itself, a control supply behind the contactors that it feeds. Tried from rest: hands, the process
and programs may put their contacts anywhere, a coil only where something feeds it.

Fires on hot-wire at K0
    K1.contacts={21-22: "NO"}
Quiet
    K1.contacts={21-22: NC mirror}
Not judged
    Contacts of selectors, which may have more than two positions, and more than eight change-over contacts on one way.
Known limits
    A circuit that is open with every contact closed is told by `circuit-never-closed` or `stop-reset-open`.
"""

from __future__ import annotations

from wiring.design.switching.reachable import Contact, Never
from wiring.findings import Cause
from wiring.parts.elements import Switch
from wiring.parts.switching import SafetyRelay
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import agreeing, does, listed

RULE = Rule(
    slug="coil-never-fed",
    title="No position can ever feed it",
    signal=Signal.CAUTION,
    harm="It never comes on; whoever looks for the reason bridges the contact that stands in its way.",
    sources=(("iec", iec_60204("17.2, 18.6")), ("na", nfpa_79("17.2, 18.6"))),
)


def check(design: Design) -> Judgements:
    """Everything that waits for ever, each with the contacts that bar it."""
    for never in design.operation.reachability.never:
        yield _finding(design, never)
    for stalled in design.operation.reachability.stalled:
        by = does(stalled.by, "is", "are")
        yield RULE.finding(
            (stalled.source, *stalled.by),
            f"{stalled.source} is fed only while {by} in, and {agreeing(stalled.by, 'that waits', 'these wait')} for "
            f"what hangs on {stalled.source}: from rest nothing ever comes in",
            design.place(stalled.source),
            because=tuple(Cause(design.place(name), "stands in its feed") for name in stalled.by),
            mend=(f"Feed {stalled.source} from ahead of {' and '.join(stalled.by)}.",),
        )


def _finding(design: Design, never: Never) -> Judgement:
    name, contacts = never.part.name, [f"{part}:{contact}" for part, contact in never.by]
    parts = tuple(dict.fromkeys(part for part, _ in never.by if part != name))
    why = f": {'; '.join(_why(design, one) for one in never.by)}" if never.by else ""
    bars = listed(contacts) or "one on that way"
    only = f"; do not just take {bars} out of that way, where it watches or locks" if contacts else ""
    return RULE.finding(
        (name, *parts),
        f"{_what(never)} can never be {'closed' if _is_loop(never) else 'fed'}{why}",
        design.place(parts[0] if parts else name, "contacts"),
        mend=(f"Take a contact that is closed when {name} has to come on in place of {bars}{only}.",),
        holds=scope("part", name, *parts),
        rests=(scope("stop", *design.plan.stops) | scope("part", name, *parts),) if _kept_in(design, never) else None,
    )


def _kept_in(design: Design, never: Never) -> bool:
    """Whether a contactor that nothing lets go bars it: a stop that it takes the power from is lost first."""
    always = {name for name, _ in design.operation.reachability.always}
    return any(part in always for part, _ in never.by)


def _is_loop(never: Never) -> bool:
    return isinstance(never.part.data, SafetyRelay) and never.coil.moves != "supply"


def _what(never: Never) -> str:
    name, moves = never.part.name, never.coil.moves
    if isinstance(never.part.data, SafetyRelay) and moves == "reset":
        return f"The reset loop of {name}"
    if _is_loop(never):
        return f"{moves.replace('channel', 'Channel ')} of {name}"
    return f"{name}:{never.coil.name}" if never.coil.moves not in ("coil", "supply") else name


def _why(design: Design, contact: Contact) -> str:
    name, marking = contact
    part = design.parts[name]
    switch = next(one for one in part.of(Switch) if one.name == marking)
    own = (name, switch.actuator)
    reachable = design.operation.reachability
    if own in reachable.always and switch.closed_at_rest:
        return f"{name}:{marking} stands open, as nothing in the feed of {name} lets it go: it is always in"
    if switch.closed_at_rest or own in reachable.free:
        return f"{name}:{marking} stands open whenever the others of {name} on that way are closed"
    if own in reachable.reached:
        return f"{name}:{marking} is a make contact"
    return f"{name}:{marking} is a make contact and closes only once {name} is in, which has to wait for this"
