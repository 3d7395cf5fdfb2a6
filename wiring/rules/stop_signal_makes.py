"""A stop or an end of travel reaches a program by a contact that closes.

A broken wire, a loose plug or an empty fuse takes such a signal away without a sign. Contacts that stop open, and
what reads them takes silence for the stop. Asked of what an input is for (`functions: {I7: stop}`), and of red buttons,
which stop wherever they lead; of black ones that close it is asked.

Fires on sorting-gate at S9
    A1.inputs={I1: sink, I2: sink, I3: sink}
    parts.S9={kind: push-button, at: door, colour: RD, contacts: {13-14: "NO"}, rated: 3 A}
    wires+={wire: 40, from: X1:8, to: S9:13, type: control}
    wires+={wire: 41, from: S9:14, to: A1:I3, type: control}
Quiet
    S9.contacts={13-14: NC}
Not judged
    Contacts of relays that report a stop, which close when their coil lets go.
Known limits
    Limit switches are told by `limit-normally-open`, devices that `stops` name by the rules on stops.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.connection.signals import SignalInput, card_inputs
from wiring.design.design import Design
from wiring.design.stop.operator_colours import colour_code
from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.operators import LimitSwitch, Operated, PushButton
from wiring.parts.signals import IoCard
from wiring.plan.edits import SetValue
from wiring.rules.rule import Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="stop-signal-makes",
    title="Stop is read by a make contact",
    signal=Signal.CAUTION,
    harm="With a broken wire the button is pressed or the end is reached, and the machine runs on.",
    sources=(("iec", iec_60204("9.2.2, 9.4.1")), ("na", nfpa_79("9.2.2, 9.4.1"))),
)
#: Functions of an input that a contact has to open.
_OPENED = ("stop", "limit")


def check(design: Design) -> Judgements:
    """Every operator whose make contact alone is read by an input."""
    named = {device for stop in design.plan.stops.values() for device in stop.devices}
    unknown: list[str] = []
    for item in card_inputs(design.machine):
        word = _function(item)
        for part, switch in _makes(design, item):
            if part.name in named:
                continue
            colour = colour_code(part.data.colour) if isinstance(part.data, PushButton) else ""
            if word in _OPENED or (colour == "RD" and word is None):
                yield _finding(design, part, switch, item, word)
            elif colour == "BK" and word is None:
                unknown.append(part.name)
    yield from RULE.ask(unknown, "whether they stop something (`functions: {I7: stop}`, or `other`)")


def _function(item: SignalInput) -> str | None:
    data = item.part.data
    assert isinstance(data, IoCard)
    return next((word for end, word in data.functions.items() if data.terminals.get(end, end) == item.name), None)


def _makes(design: Design, item: SignalInput) -> Iterator[tuple[Part, Switch]]:
    """The make contacts between an input and its feed of operators of which no break contact is read there."""
    ways = design.nets.ways_to_feed(design.nets.of[item.part.name, item.name])
    edges = [edge for edge in ways if isinstance(edge.element, Switch)]
    breaks = {edge.part for edge in edges if isinstance(edge.element, Switch) and edge.element.closed_at_rest}
    for name, switch in dict.fromkeys((edge.part, edge.element) for edge in edges):
        part = design.parts[name]
        if isinstance(part.data, Operated) and not isinstance(part.data, LimitSwitch) and name not in breaks:
            assert isinstance(switch, Switch)
            yield part, switch


def _finding(design: Design, part: Part, switch: Switch, item: SignalInput, word: str | None) -> Judgement:
    why = f"and {item.part.name}:{item.name} reads it as a {word}" if word else "and its red says that it stops"
    return RULE.finding(
        (part.name, item.part.name),
        f"{part.name} ({part.title}) is read by the make contact {switch.name}, {why}",
        design.place(part.name, "contacts"),
        mend=(
            Mend(
                f"Wire a break contact of {part.name} (NC), and turn the sense of the input round.",
                (SetValue(("parts", part.name, "contacts", switch.name), "NC"),),
            ),
        ),
    )
