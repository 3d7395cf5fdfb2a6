"""What a kind of part says about itself beside its data: how it is drawn, on which sheet, and what it is there for."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from wiring.parts.elements import Function


class SymbolForm(StrEnum):
    """How a part is drawn."""

    FRAME = "frame"  # a rectangle with its terminals at the edges
    TWO_ENDED = "two-ended"  # one symbol between its first two terminals
    POLES = "poles"  # main poles, with what moves them
    CONTACTS = "contacts"  # contacts, with their operator
    COIL = "coil"  # a coil, with its poles and contacts apart
    CHANNELS = "channels"  # a coil with input channels, and its outputs apart
    MACHINE = "machine"  # a circle that its terminals reach
    STRIP = "strip"  # points, each where its wires lead
    CARD = "card"  # sections, one for each sheet that it serves
    METAL = "metal"  # protective pins alone


class SheetFunction(StrEnum):
    """The sheet on which a part stands."""

    MAINS = "mains"
    DC = "dc"
    STOP = "stop"
    IO = "io"
    PROCESS = "process"
    BOND = "bond"
    POLES = "as its poles"  # mains or DC, as its poles carry
    WIRES = "as its wires"  # where its wires lead
    INPUT = "as its input"  # inputs where it leads to a card, else the control circuit


class Quantity(StrEnum):
    """What a part raises, lowers or watches beside the network."""

    TEMPERATURE = "temperature"


class Purpose(NamedTuple):
    """What the contacts of a part are there for. `acts` tells what moves them: "F6 trips".

    `protects`: something burns, or someone is hurt, where nothing follows; else the machine does not do what it should.
    """

    acts: str
    protects: bool = False


RIGHT = frozenset(
    (Function.OUTPUT, Function.MOTOR, Function.DC_PLUS, Function.DC_MINUS, Function.THROUGH, Function.SHIELD)
)


class Symbol(NamedTuple):
    """How a kind is drawn: `sign` is the symbol of its lanes, or the sign inside its frame or circle.

    `operator` moves its contacts or poles. `right` are the functions of the terminals at the right of a frame.
    `turns` says that it may be drawn the other way round; `bonds`, that its protective pins stand on the bonding sheet.
    """

    form: SymbolForm = SymbolForm.FRAME
    sign: str = ""
    operator: str = ""
    right: frozenset[Function] = RIGHT
    turns: bool = False
    bonds: bool = True
