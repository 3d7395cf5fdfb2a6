"""What the pack and the page hold beside the drawing: the lists that say something, and the stop proof in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec.structs import replace

from wiring.control.fault_record import Fault
from wiring.control.verdicts import Verdict
from wiring.design.design import Design
from wiring.design.stop.records import StopResult
from wiring.documents.ends import Ends
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table
from wiring.documents.table import Table
from wiring.findings import Report
from wiring.reports.stop_words import TITLES, faults_tried, without_a_fault

_LISTS = (
    ListName.WIRES,
    ListName.CABLES,
    ListName.TERMINALS,
    ListName.TERMINATIONS,
    ListName.CHANNELS,
    ListName.PROTECTION,
    ListName.SETTINGS,
    ListName.PARTS,
    ListName.ORDERS,
    ListName.LENGTHS,
    ListName.SPARES,
    ListName.NAMEPLATE,
    ListName.UPKEEP,
)
#: Lists that are only read.
_READ = (ListName.SPARES, ListName.NAMEPLATE)


def lists_of(design: Design, ends: Ends) -> list[Table]:
    """The lists in their order, without those that have no row, and without columns that stay empty."""
    tables = (replace(list_table(design, name, ends), ticked=name not in _READ) for name in _LISTS)
    return [_without_blanks(table) for table in tables if table.rows]


def _without_blanks(table: Table) -> Table:
    return table.without_empty(
        {name: "" for n, name in enumerate(table.headings) if all(row[n] == "" for row in table.rows)}
    )


def stops_of(design: Design, report: Report) -> list[dict[str, Any]]:
    """What every stop removes and leaves, and what came of its single faults, in words."""
    found = report.figures.get("stops") or {}
    return [_stop(design, name, found[name]) for name in design.plan.stops if name in found]


def _stop(design: Design, name: str, record: Mapping[str, Any]) -> dict[str, Any]:
    stop = design.plan.stops[name]
    proof = design.stop_proof
    results = [result for result in proof.results.values() if result.use.name == name]
    fields = {
        "Category": str(stop.category),
        "Devices": ", ".join(
            f"{device} (held to run)" if device in design.circuit.hold_to_run else device for device in stop.devices
        ),
        "Reset": stop.reset or "none named",
        "Removes": ", ".join(record.get("removed") or ()) or "nothing",
        "Leaves fed": ", ".join(record.get("left") or ()) or "nothing",
        "Single faults": faults_tried(proof) if results else "not tried",
        "Pairs": "contacts that fail closed one after the other; every pair: `wiring stop`" if results else "not tried",
    }
    return {"name": name, "fields": list(fields.items()), "verdicts": _verdicts(design, name, results)}


def _verdicts(design: Design, name: str, results: Sequence[StopResult]) -> list[list[Any]]:
    """What the machine does without a fault, and the faults that are not safe, in the words of the complete proof."""
    if not results:
        return []
    said = [result for result in results if result.says_more or not result.use.state]
    lines = dict.fromkeys(
        f"{result.use.state}: {line}" if result.use.state else line
        for result in said
        for line in without_a_fault(result)
    )
    welds = design.stopping.hidden_welds.get(name)
    dangerous = {one.fault.id for result in results for one in result.dangerous}
    hidden = [one for one in design.stop_proof.faults if welds and one.id in welds.next and one.id not in dangerous]
    found = [["Without a fault", [*lines]]]
    for word in (Verdict.DANGEROUS, Verdict.UNDECIDED):
        told = [_words(one.fault) + result.use.while_ for result in results for one in result.of(word)]
        found.append([TITLES[word], told])
    return [*found, [TITLES[Verdict.HIDDEN], [*map(_words, hidden)]]]


def _words(fault: Fault) -> str:
    return f"{fault.id}: {fault.words}"
