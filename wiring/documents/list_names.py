"""The names of the lists, apart so that the command line knows them without what makes them."""

from __future__ import annotations

from enum import StrEnum


class ListName(StrEnum):
    """The lists that go to the bench."""

    WIRES = "wires"
    CABLES = "cables"
    TERMINALS = "terminals"
    TERMINATIONS = "terminations"
    PARTS = "parts"
    ORDERS = "orders"
    LABELS = "labels"
    LENGTHS = "lengths"
    SPARES = "spares"
    CHANNELS = "channels"
    PROTECTION = "protection"
    SETTINGS = "settings"
    UPKEEP = "upkeep"
    NAMEPLATE = "nameplate"
