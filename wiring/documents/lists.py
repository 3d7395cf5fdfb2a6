"""Every list by its name: the table that people read, and the one that goes into a file."""

from __future__ import annotations

from collections.abc import Callable

from wiring.design.design import Design
from wiring.documents.bill import bill_table
from wiring.documents.cable_list import cable_table
from wiring.documents.channel_list import channel_table
from wiring.documents.cut_list import cut_table
from wiring.documents.ends import Ends
from wiring.documents.labels import label_table
from wiring.documents.list_names import ListName
from wiring.documents.nameplate_list import nameplate_table
from wiring.documents.orders import order_table, order_tables
from wiring.documents.protection_list import protection_table
from wiring.documents.setting_list import setting_table
from wiring.documents.spares import spare_table
from wiring.documents.table import Table
from wiring.documents.terminal_plan import terminal_table
from wiring.documents.termination_list import termination_table
from wiring.documents.upkeep import upkeep_table
from wiring.documents.wire_list import cable_input, wire_input, wire_table

_READ: dict[ListName, Callable[[Design, Ends], Table]] = {
    ListName.WIRES: wire_table,
    ListName.CABLES: cable_table,
    ListName.TERMINALS: terminal_table,
    ListName.TERMINATIONS: lambda design, ends: termination_table(design),
    ListName.PARTS: lambda design, ends: bill_table(design),
    ListName.ORDERS: lambda design, ends: order_table(design),
    ListName.LABELS: lambda design, ends: label_table(design),
    ListName.LENGTHS: lambda design, ends: cut_table(design),
    ListName.SPARES: lambda design, ends: spare_table(design),
    ListName.CHANNELS: lambda design, ends: channel_table(design),
    ListName.PROTECTION: lambda design, ends: protection_table(design),
    ListName.SETTINGS: lambda design, ends: setting_table(design),
    ListName.NAMEPLATE: lambda design, ends: nameplate_table(design),
    ListName.UPKEEP: lambda design, ends: upkeep_table(design),
}
_INPUT: dict[ListName, Callable[[Design, Ends], Table]] = {ListName.WIRES: wire_input, ListName.CABLES: cable_input}
#: Lists whose files a plan can read.
WITH_INPUT = tuple(_INPUT)
#: Lists whose rows name places on the drawing.
WITH_ZONES = (ListName.WIRES, ListName.CABLES, ListName.TERMINALS)


def list_table(design: Design, name: ListName, ends: Ends | None = None) -> Table:
    """The list as people read it; `ends` give sheet and zone where the drawing is at hand."""
    return _READ[name](design, ends or Ends())


def own_sheets(design: Design, name: ListName) -> tuple[Table, ...]:
    """The sheets of a workbook for a list that has its own: one order a supplier; none for the others."""
    return order_tables(design) if name is ListName.ORDERS else ()


def file_table(design: Design, name: ListName, ends: Ends | None = None) -> Table:
    """The list as it goes into a CSV file; wires and cables in the columns that a plan reads."""
    return _INPUT.get(name, _READ[name])(design, ends or Ends())
