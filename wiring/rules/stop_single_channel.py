"""One contact that fails closed defeats a stop.

The stop rests on a single contactor, relay or contact: when its contacts weld, or it sticks, nothing else takes the
power away. This shows the structure of the circuit; it is no performance level and no certificate. A contact that opens
by force of its actuator counts as one that opens (ISO 13849-2, table D.8). A stop device that opens one channel of its
safety relay and leaves the other one closed is told as well, and a position switch that carries all channels of one:
its spring or a weld keeps them closed together, while contacts that open by force do not stay closed (IEC 60204-1,
10.1.4).

Fires on hot-wire at K1
    L4.to=G4:L
    L5=
Quiet
    L4.to=K2:1
    wires+={wire: L5, from: K2:2, to: G4:L, type: line}
Not judged
    A machine without stops. The inside of a safety relay and of a drive with two torque-off inputs, which their
    makers answer for.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.design.stop.causes import Cause, blame_words, causes, is_single_channel, to_blame, together
from wiring.design.stop.contacts import is_channel_closed
from wiring.findings import Cause as Because
from wiring.findings import Finding, Number
from wiring.parts.elements import Switch
from wiring.parts.operators import Guarding, HandOperated, Operated
from wiring.parts.switching import SafetyRelay
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing
from wiring.wording import does, stops_called

RULE = Rule(
    slug="stop-single-channel",
    title="One failing contact defeats the stop",
    signal=Signal.WARNING,
    harm="A welded contact is a usual end of a contactor's life; the stop is then pressed and nothing happens.",
    sources=(
        ("both", Source("ISO 13849-2", "2012", "table D.9", Standing.FROM_MEMORY)),
        ("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),
    ),
)


def _left_closed(design: Design, device: str) -> Judgements:
    """Safety relays of which a stop device opens some channels and not all."""
    for relay in design.parts.values():
        if isinstance(relay.data, SafetyRelay):
            whole = [pair for pair in relay.data.channels if is_channel_closed(design, relay.name, pair, "")]
            left = [pair for pair in whole if is_channel_closed(design, relay.name, pair, device)]
            if left and len(left) < len(whole):
                yield RULE.finding(
                    (device, relay.name),
                    f"{device} opens one channel of {relay.name} and leaves {', '.join(left)} closed",
                    design.place(device),
                    mend=(f"Lead {', '.join(left)} of {relay.name} through a break contact of {device} too.",),
                    rests=(scope("part", device),),
                )


def _opened_by_a_spring(design: Design, device: str) -> Judgements:
    """A switch that opens every channel of a safety relay, by contacts none of which opens by force."""
    part = design.parts.get(device)
    if part is None or not isinstance(part.data, Operated) or isinstance(part.data, HandOperated | Guarding):
        return
    breaks = [one for one in part.of(Switch) if one.closed_at_rest]
    if len(breaks) < 2 or any(one.direct for one in breaks):
        return
    for relay in design.parts.values():
        if isinstance(relay.data, SafetyRelay):
            whole = [pair for pair in relay.data.channels if is_channel_closed(design, relay.name, pair, "")]
            if len(whole) > 1 and not any(is_channel_closed(design, relay.name, pair, device) for pair in whole):
                yield RULE.finding(
                    (device, relay.name),
                    f"{device} carries all channels of {relay.name}, and none of its contacts opens by force",
                    design.place(device, "contacts"),
                    signal=Signal.CAUTION,
                    mend=(f"Take one for {device} whose break contacts open directly (`NC direct`).",),
                    rests=(scope("part", device),),
                )


def check(design: Design) -> Judgements:
    """Each part whose failing closed leaves a target alive, and each device that opens one channel."""
    for device in dict.fromkeys(name for stop in design.plan.stops.values() for name in stop.devices):
        yield from _left_closed(design, device)
        yield from _opened_by_a_spring(design, device)
    for cause in causes(design.stopping, is_single_channel):
        rests = (scope("bypass", *cause.bypasses),) if cause.bypasses else ()
        yield Item(cause.subject, cause, partial(_finding, design), rests=rests)


def _finding(design: Design, rows: Sequence[Cause]) -> Finding:
    cause = together(rows)
    part, stops, alive, words = cause.subject, cause.stops, cause.alive, cause.words
    return RULE.finding(
        (part, *stops, *cause.too_many),
        f"{part} alone carries {stops_called(stops)}: when {words[0]}, {does(alive, 'stays fed', 'stay fed')}"
        + blame_words(cause),
        design.place(part),
        because=(*(Because(design.place(name), "stays fed") for name in alive), *to_blame(design.stopping, cause)),
        numbers=(Number("faults of this kind", float(len(words)), ""),),
        mend=(
            f"Put a second contactor in series with {part}, driven by a second channel, and both mirror contacts "
            "in the reset loop.",
        ),
    )
