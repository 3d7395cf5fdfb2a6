"""From a design to the units, places of wire ends, references between units of a part, and marks of findings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Conductor, Node
from wiring.design.design import Design
from wiring.drawing.assign import find_units
from wiring.drawing.contact_tables import contact_tables, sibling_label
from wiring.drawing.functions import AT_RING, BOND
from wiring.drawing.labels import Names
from wiring.drawing.problem import LEFT, RIGHT, End, Join, Problem, Spot, Stub
from wiring.drawing.shields import MOST_ROWS, place_shields
from wiring.drawing.units import Form, Lane, Unit
from wiring.findings import Finding, Report

#: A machine with more lanes is drawn as a frame.
_MOST_ROUND = 6


class Prepared(Struct, frozen=True):
    """Units with their wire ends. `unplaced` are the numbers of findings that belong to no symbol or wire."""

    units: tuple[Unit, ...]
    names: Names
    findings: tuple[Finding, ...]
    unplaced: tuple[int, ...]


def _degrees(conductors: Sequence[Conductor]) -> dict[Node, int]:
    found: dict[Node, int] = {}
    for conductor in conductors:
        for node in conductor.ends:
            found[node] = found.get(node, 0) + 1
    return found


def _rows(lane: Lane, degree: Mapping[Node, int]) -> int:
    return max([1, *(degree.get(node, 0) for node in (lane.left, lane.right) if node is not None)])


def _divided(unit: Unit, degree: Mapping[Node, int]) -> list[Unit]:
    """The unit in pieces of at most MOST_ROWS rows. A terminal with more wires stands in several pieces."""
    if unit.form is Form.CIRCLE and (
        len(unit.lanes) > _MOST_ROUND or any(_rows(lane, degree) > 1 for lane in unit.lanes)
    ):
        unit = replace(unit, form=Form.FRAME)
    lanes = [lane for lane in unit.lanes for _ in range(-(-_rows(lane, degree) // MOST_ROWS))]
    pieces: list[list[Lane]] = [[]]
    taken = 0
    for lane in lanes:
        rows = min(MOST_ROWS, _rows(lane, degree))
        if pieces[-1] and taken + rows > MOST_ROWS and unit.form is not Form.CHANGE_OVER:
            pieces.append([])
            taken = 0
        pieces[-1].append(lane)
        taken += rows
    return [
        replace(unit, id=unit.id if n == 0 else f"{unit.id} {n + 1}", lanes=tuple(piece), main=unit.main and n == 0)
        for n, piece in enumerate(pieces)
    ]


def _spots(design: Design, units: Sequence[Unit], screens: Mapping[str, str]) -> dict[End, Spot]:
    places: dict[Node, list[Spot]] = {}
    for unit in units:
        for n, lane in enumerate(unit.lanes):
            for node in dict.fromkeys(node for node in (lane.left, lane.right) if node is not None):
                places.setdefault(node, []).append((unit.id, n))
    used: dict[Node, int] = {}
    spots: dict[End, Spot] = {}
    for conductor in design.circuit.conductors:
        for n, node in enumerate(conductor.ends):
            if node[1] == ".shield":
                spots[conductor.id, n] = next(spot for spot in places[node] if spot[0] == screens[conductor.id])
                continue
            count = used.get(node, 0)
            used[node] = count + 1
            spots[conductor.id, n] = places[node][min(count // MOST_ROWS, len(places[node]) - 1)]
    return spots


def _siblings(units: Sequence[Unit]) -> dict[str, list[tuple[str, str]]]:
    """The main unit of a part names all others; these name the main one. Pieces of a bridge name the next piece."""
    found: dict[str, list[tuple[str, str]]] = {}
    parts: dict[str, list[Unit]] = {}
    for unit in units:
        parts.setdefault(unit.part, []).append(unit)
    for members in parts.values():
        bridges: dict[str, list[Unit]] = {}
        for unit in members:
            if unit.form is Form.POINTS and unit.joined:
                bridges.setdefault(unit.bridge, []).append(unit)
        for pieces in bridges.values():
            if len(pieces) > 1:
                for one, following in zip(pieces, [*pieces[1:], pieces[0]], strict=True):
                    found[one.id] = [(f"{following.part}:{following.lanes[0].left[1]}", following.id)]  # type: ignore[index]
        main = next((unit for unit in members if unit.main), None)
        if main is None:
            continue
        for unit in members:
            if unit is not main:
                found.setdefault(main.id, []).append((sibling_label(unit), unit.id))
                if unit.form is not Form.BOND:
                    found[unit.id] = [("", main.id)]
    return found


def _marks(
    units: Sequence[Unit], conductors: Mapping[str, Conductor], findings: Sequence[Finding]
) -> tuple[dict[str, list[int]], list[int]]:
    by_part: dict[str, str] = {}
    for unit in sorted(units, key=lambda unit: (unit.sheet == AT_RING, not unit.main)):
        by_part.setdefault(unit.part, unit.id)
    marks: dict[str, list[int]] = {}
    unplaced: list[int] = []
    for number, finding in enumerate(findings, 1):
        keys = (_mark_key(subject, by_part, conductors) for subject in finding.subjects)
        key = next((key for key in keys if key), None)
        if key is None:
            unplaced.append(number)
        else:
            marks.setdefault(key, []).append(number)
    return marks, unplaced


def _mark_key(subject: str, by_part: Mapping[str, str], conductors: Mapping[str, Conductor]) -> str | None:
    if subject in by_part:
        return by_part[subject]
    found = subject if subject in conductors else next((c for c in conductors if c.startswith(f"{subject}.")), None)
    return f"wire {found}" if found else None


def _to_bar(conductors: Sequence[Conductor], units: Sequence[Unit], spots: Mapping[End, Spot]) -> frozenset[str]:
    """Bonding wires that are written towards their bar: they leave it on the sheet."""
    lanes = {unit.id: len(unit.lanes) for unit in units if unit.sheet == BOND}
    ends = {one.id: (spots[one.id, 0][0], spots[one.id, 1][0]) for one in conductors}
    return frozenset(wire for wire, (a, b) in ends.items() if a in lanes and b in lanes and lanes[a] < lanes[b])


def prepare(design: Design, report: Report | None) -> Prepared:
    """Units, names and marks of a design; `report` holds the findings to be marked."""
    conductors = design.circuit.conductors
    degree = _degrees(conductors)
    units = [piece for unit in find_units(design) for piece in _divided(unit, degree)]
    screens = place_shields(design, units, degree)
    spots = _spots(design, units, screens)
    findings = report.findings if report else ()
    marks, unplaced = _marks(units, design.circuit.conductor, findings)
    ringed = {unit.id: unit for unit in units if unit.sheet == AT_RING}
    at_ring = {(wire, 1 - n): ringed[spot[0]] for (wire, n), spot in spots.items() if spot[0] in ringed}
    tables = contact_tables(design, units)
    to_bar = _to_bar(design.circuit.conductors, units, spots)
    names = Names(design.circuit.conductor, spots, marks, _siblings(units), tables, at_ring, to_bar)
    return Prepared(tuple(units), names, tuple(findings), tuple(unplaced))


def problem_of(prepared: Prepared, function: str, order: Mapping[str, int]) -> Problem:
    """The layout task of a function. `order` is that of all functions, towards which open ends lean.

    What is bonded stands at the right of its bar, however it is wired.
    """
    units = tuple(unit for unit in prepared.units if unit.sheet == function)
    home = {unit.id: unit.sheet for unit in prepared.units}
    joins: list[Join] = []
    stubs: list[Stub] = []
    for wire in prepared.names.conductors:
        spots = (prepared.names.spots[wire, 0], prepared.names.spots[wire, 1])
        sheets = (home[spots[0][0]], home[spots[1][0]])
        if sheets == (function, function):
            joins.append(Join(wire, *spots))
            continue
        for n in (0, 1):
            if sheets[n] == function:
                later = order.get(sheets[1 - n], 0) > order[sheets[n]] or function == BOND
                stubs.append(Stub((wire, n), spots[n], RIGHT if later else LEFT))
    return Problem(units, tuple(joins), tuple(stubs))
