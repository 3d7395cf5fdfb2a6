"""The values of the machine's nameplate: those of the plan, those that are computed, and those written by hand."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.design.device.nameplate import full_load_current, largest_load, not_compared, short_circuit_rating
from wiring.documents.table import Cell, Column, Table, listed
from wiring.quantities import show

_COLUMNS = (Column("On the plate"), Column("Value"), Column("From"))
_CLAUSES = {
    "iec": "What belongs on the plate: IEC 60204-1:2016, 16.4 (from memory).",
    "na": "What belongs on the plate: NFPA 79, 16.4 and NFPA 70, 670.3(A) (from memory).",
}
_PHASES = {"single-phase": "1 phase", "split-phase": "1 phase, 3 wires", "three-phase": "3 phases"}
_BY_HAND = "write it in"


def nameplate_table(design: Design) -> Table:
    """One row for each value of the plate; what is not known says what is missing."""
    rows = (*_named(design), *_supplied(design), *_computed(design))
    return Table("Nameplate", _COLUMNS, rows, (_CLAUSES[design.plan.rulebook], *_notes(design)))


def _named(design: Design) -> Iterator[tuple[Cell, ...]]:
    plan = design.plan
    yield ("machine", plan.machine, "plan")
    yield ("maker", plan.author or None, "plan (`author`)" if plan.author else _BY_HAND)
    yield ("serial number and year", None, _BY_HAND)
    yield ("number of the drawings", plan.revision and f"revision {plan.revision}", f"plan; {_BY_HAND}")


def _supplied(design: Design) -> Iterator[tuple[Cell, ...]]:
    mains = design.plan.mains
    if mains is None:
        yield ("supply", None, "the plan has no `mains`")
        return
    yield ("rated voltage", f"{mains.voltage.volts:g} V AC, {_PHASES[mains.system]}", "plan")
    frequency = show(mains.frequency, "frequency") if mains.frequency else None
    yield ("frequency", frequency, "plan")


def _computed(design: Design) -> Iterator[tuple[Cell, ...]]:
    load = full_load_current(design)
    if load is None:
        yield ("full-load current", None, "not judged: no mains enter the plan")
    elif load.motors:
        missing = f"not judged: `rated_current` of {listed(load.motors)}; {show(load.amps, 'current')} without it"
        yield ("full-load current", None, missing)
    else:
        yield ("full-load current", show(load.amps, "current"), f"computed, state {load.state}, the largest line")
    largest = largest_load(design)
    if largest is not None:
        amps = f", {show(largest.amps, 'current')}" if largest.amps is not None else ", current not given"
        yield ("largest motor or load", f"{show(largest.power_w, 'power')}{amps}", f"rating of {largest.part}")
    elif steppers := not_compared(design):
        yield ("largest motor or load", None, f"not judged: stepper motors have no rated power ({listed(steppers)})")
    if design.plan.mains is not None:
        yield _rating(design)


def _rating(design: Design) -> tuple[Cell, ...]:
    found = short_circuit_rating(design)
    most = f"; at most {show(found.amps, 'current')} by {found.part}" if found.amps is not None else ""
    if found.unknown or found.amps is None:
        missing = f"`short_circuit_rating` or `breaking` of {listed(found.unknown)}" if found.unknown else "any rating"
        return ("short-circuit rating", None, f"not judged: {missing}{most}")
    return ("short-circuit rating", show(found.amps, "current"), f"computed, the least is that of {found.part}")


def _notes(design: Design) -> Iterator[str]:
    yield (
        "The full-load current is that of the state of the plan that takes most; a motor without a drive counts with "
        "its full-load current. A plan whose states leave out what may run together gives too little."
    )
    if steppers := not_compared(design):
        yield f"Stepper motors have no rated power and are not compared with the largest load: {listed(steppers)}."
    fault = design.plan.mains.fault_current if design.plan.mains else None
    if fault is not None:
        yield f"The supply gives {show(fault, 'current')} into a short circuit: the rating on the plate is never less."
