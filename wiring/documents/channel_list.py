"""The channels of every controller and card: what is typed into its configuration, with device, levels and wire."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor, Node, named
from wiring.design.design import Design
from wiring.documents.table import Cell, Column, Table, by_name
from wiring.parts.base import Part
from wiring.parts.contacts import split_pair
from wiring.parts.elements import Switch
from wiring.parts.passive import Connector, Terminals
from wiring.parts.signals import IoCard

_COLUMNS = (
    Column("Controller"),
    Column("Channel"),
    Column("Direction"),
    Column("Type"),
    Column("Function"),
    Column("Device"),
    Column("Title"),
    Column("At rest"),
    Column("Worked"),
    Column("Wire"),
    Column("Over terminals"),
)
_NOTE = (
    "1 is a closed contact or a conducting output, 0 an open one; which level the program sees follows from the type "
    "of the input. A channel without a device is spare, or its wire divides before it reaches one."
)


def channel_table(design: Design) -> Table:
    """One row a channel, in the order of the card's own terminals."""
    cards = [part for part in design.parts.values() if isinstance(part.data, IoCard)]
    rows = [row for part in by_name(cards, "name") for row in _rows(design, part)]
    return Table("Channels", _COLUMNS, tuple(rows), (_NOTE,))


def _rows(design: Design, part: Part) -> Iterator[tuple[Cell, ...]]:
    card = part.data
    assert isinstance(card, IoCard)
    for name, word in card.inputs.items():
        yield (part.name, name, "in", word, *_device(design, card, part.name, name, ""))
    for name, word in card.outputs.items():
        terminal = split_pair(name)[-1] if word.startswith("relay") else name
        yield (part.name, name, "out", word, *_device(design, card, part.name, terminal, card.boot or ""))


def _device(design: Design, card: IoCard, part: str, terminal: str, boot: str) -> tuple[str, ...]:
    """Function, device, title, levels, wire and terminals passed of one channel."""
    function = card.functions.get(terminal, "")
    wire, passed, far = _reached(design, (part, terminal))
    if far is None:
        return (function, "", "", _rest_of(boot), "", wire, " ".join(passed))
    device = design.parts[far[0]]
    contact = next((one for one in device.of(Switch) if far[1] in (one.a, one.b)), None)
    function = function or str(getattr(device.data, "purpose", None) or "")
    name = f"{device.name}:{contact.name}" if contact else named(far)
    rest, worked = (_rest_of(boot), "") if contact is None or boot else _levels(contact)
    return (function, name, device.data.title, rest, worked, wire, " ".join(passed))


def _rest_of(boot: str) -> str:
    return {"off": "0", "on": "1"}.get(boot, boot)


def _levels(contact: Switch) -> tuple[str, str]:
    return ("1", "0") if contact.closed_at_rest else ("0", "1")


def _reached(design: Design, start: Node) -> tuple[str, list[str], Node | None]:
    """The first wire of a channel, the terminals it passes, and the device behind them; None where it divides."""
    first, at = "", start
    passed: list[str] = []
    before: Conductor | None = None
    while True:
        onward = [c for c in design.circuit.conductors_at(at) if c is not before and c.kind != "shield"]
        if len(onward) != 1:
            return first, passed, None
        before = onward[0]
        first = first or before.id
        at = before.other(at)
        if not isinstance(design.parts[at[0]].data, Terminals | Connector):
            return first, passed, at
        passed.append(named(at))
