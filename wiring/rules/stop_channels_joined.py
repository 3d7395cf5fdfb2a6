"""Two channels of a stop relay meet before they reach it: one contact, or one short, serves both.

Each channel has contacts and conductors of its own from the operator to the relay. Where both pass one contact, or
touch in a terminal, the contact that does not open defeats both, and a relay that watches for shorts between its
channels does not start. A channel that begins at the pole of a supply in place of the terminal of the relay is joined
with all that hangs there: any wire of that pole that touches it passes its contacts, and the relay cannot notice.

Fires on hot-wire at K0
    6.to=S1:11
    7.from=S1:12
Quiet
    6.to=S1:21
    7.from=S1:22
Not judged
    A unit with one channel: `stop-single-channel` judges what that means. Channels that begin at one terminal of the
    unit, by its maker's choice.
"""

from __future__ import annotations

from wiring.design.stop.channels import JoinedChannels, StrayChannel, joined_channels, stray_channels
from wiring.findings import Cause
from wiring.parts.contacts import split_pair
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import does

RULE = Rule(
    slug="stop-channels-joined",
    title="Two channels of a stop are one",
    signal=Signal.WARNING,
    harm="One contact that does not open, or one bruised cable, and the stop is pressed in vain.",
    sources=(
        ("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),
        ("both", Source("ISO 13849-2", "2012", "table D.4", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Judgements:
    """Every two channels of a unit that meet, and every one that begins elsewhere."""
    for one in joined_channels(design.machine):
        yield _finding(design, one)
    for stray in stray_channels(design.machine):
        yield _stray(design, stray)


def _stray(design: Design, one: StrayChannel) -> Judgement:
    begin = f"{one.unit}:{split_pair(one.channel)[0]}"
    return RULE.finding(
        (one.unit, *dict.fromkeys(part for part, _ in one.contacts)),
        f"Channel {one.channel} of {one.unit} begins at {one.source} and not at {begin}: a wire of {one.source} that "
        "touches it passes its contacts unnoticed",
        design.place(one.unit),
        signal=Signal.CAUTION,
        mend=(f"Feed the channel from {begin} alone.",),
    )


def _finding(design: Design, one: JoinedChannels) -> Judgement:
    first, second = one.channels
    contacts = [f"{part}:{contact}" for part, contact in one.contacts]
    devices = dict.fromkeys(part for part, _ in one.contacts)
    ends = [end[0] for name in one.conductors for end in design.circuit.conductor[name].ends]
    devices |= dict.fromkeys(part for part in ends if part != one.unit)
    by = f": {does(contacts, 'serves', 'serve')} both" if contacts else ""
    at = f" through {', '.join(one.conductors)}" if one.conductors else ""
    return RULE.finding(
        (one.unit, *devices, *one.conductors),
        f"The channels {first} and {second} of {one.unit} are joined{at}{by}",
        design.circuit.conductor[one.conductors[0]].place if one.conductors else design.place(one.unit),
        because=[Cause(design.circuit.conductor[name].place, "belongs to both") for name in one.conductors[1:]],
        mend=(f"Lead {second} of {one.unit} over conductors and a contact of its own in every device.",),
    )
