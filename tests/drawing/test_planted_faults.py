"""Faults put into good sheets on purpose: lint and read-back must catch at least 95 % of them."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from msgspec.structs import replace

from tests.drawing.drawn import drawn_spec, faults_of
from wiring.drawing.shapes import Group, Line, Mark, Sheet, Text, moved, moved_all

Fault = Callable[[random.Random, list[Sheet]], bool]
#: How many of each kind are planted.
EACH = 12


def _circuit(rng: random.Random, sheets: list[Sheet], *kinds: str) -> tuple[int, list[int]]:
    """A random circuit sheet and the numbers of its groups of some kinds."""
    numbers = [n for n, sheet in enumerate(sheets) if sheet.kind == "circuit"]
    n = rng.choice(numbers)
    return n, [k for k, group in enumerate(sheets[n].groups) if group.kind in kinds and group.shapes]


def _put(sheets: list[Sheet], n: int, k: int, group: Group) -> None:
    groups = list(sheets[n].groups)
    groups[k] = group
    sheets[n] = replace(sheets[n], groups=tuple(groups))


def _line(group: Group) -> Line:
    return next(shape for shape in group.shapes if isinstance(shape, Line))


def wire_at_wrong_pin(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, wires = _circuit(rng, sheets, "wire")
    k = rng.choice(wires)
    line = _line(sheets[n].groups[k])
    pins = [s for g in sheets[n].groups if g.kind == "symbol" for s in g.shapes if isinstance(s, Mark)]
    pins = [p for p in pins if abs(p.x - line.points[-1][0]) > 1 or abs(p.y - line.points[-1][1]) > 1]
    if not pins:
        return False
    pin = rng.choice(pins)
    points = (*line.points[:-1], (line.points[-1][0], pin.y), (pin.x, pin.y))
    _put(sheets, n, k, replace(sheets[n].groups[k], shapes=(replace(line, points=points),)))
    return True


def wire_lost(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, wires = _circuit(rng, sheets, "wire")
    k = rng.choice(wires)
    _put(sheets, n, k, replace(sheets[n].groups[k], shapes=()))
    return True


def wire_twice(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, wires = _circuit(rng, sheets, "wire")
    group = sheets[n].groups[rng.choice(wires)]
    sheets[n] = replace(sheets[n], groups=(*sheets[n].groups, group))
    return True


def wire_too_short(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, wires = _circuit(rng, sheets, "wire")
    k = rng.choice(wires)
    line = _line(sheets[n].groups[k])
    (ax, ay), (bx, by) = line.points[:2]
    start = (ax + (0.6 if bx > ax else -0.6), ay) if ay == by else (ax, ay + (0.6 if by > ay else -0.6))
    _put(sheets, n, k, replace(sheets[n].groups[k], shapes=(replace(line, points=(start, *line.points[1:])),)))
    return True


def wire_beside(rng: random.Random, sheets: list[Sheet]) -> bool:
    """A wire laid on another one."""
    n, wires = _circuit(rng, sheets, "wire")
    if len(wires) < 2:
        return False
    one, two = rng.sample(wires, 2)
    line, other = _line(sheets[n].groups[one]), _line(sheets[n].groups[two])
    moved_line = replace(line, points=other.points)
    _put(sheets, n, one, replace(sheets[n].groups[one], shapes=(moved_line,)))
    return True


def wire_through_symbol(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, wires = _circuit(rng, sheets, "wire")
    _, symbols = n, [k for k, g in enumerate(sheets[n].groups) if g.kind == "symbol"]
    k = rng.choice(wires)
    body = dict(sheets[n].groups[rng.choice(symbols)].data)["body"].split()
    x = (float(body[0]) + float(body[2])) / 2
    y = (float(body[1]) + float(body[3])) / 2
    line = _line(sheets[n].groups[k])
    end = line.points[-1]
    points = (*line.points, (x, end[1]), (x, y + 0.3), (x, end[1]), end)
    _put(sheets, n, k, replace(sheets[n].groups[k], shapes=(replace(line, points=points),)))
    return True


def _retyped(rng: random.Random, sheets: list[Sheet], change: Callable[[str], str]) -> bool:
    n, references = _circuit(rng, sheets, "reference")
    if not references:
        return False
    k = rng.choice(references)
    group = sheets[n].groups[k]
    shapes = tuple(replace(s, text=change(s.text)) if isinstance(s, Text) else s for s in group.shapes)
    if shapes == group.shapes:
        return False
    _put(sheets, n, k, replace(group, shapes=shapes))
    return True


def reference_to_wrong_zone(rng: random.Random, sheets: list[Sheet]) -> bool:
    def change(text: str) -> str:
        sign, place, target = text.split(" ", 2)
        sheet, zone = place.split("/")
        letter = "A" if zone[0] != "A" else "B"
        return f"{sign} {sheet}/{letter}{zone[1:]} {target}"

    return _retyped(rng, sheets, change)


def reference_to_wrong_sheet(rng: random.Random, sheets: list[Sheet]) -> bool:
    def change(text: str) -> str:
        sign, place, target = text.split(" ", 2)
        sheet, zone = place.split("/")
        return f"{sign} {int(sheet) + 1}/{zone} {target}"

    return _retyped(rng, sheets, change)


def reference_to_wrong_terminal(rng: random.Random, sheets: list[Sheet]) -> bool:
    return _retyped(rng, sheets, lambda text: text[:-1] + ("7" if text[-1] != "7" else "8"))


def labels_exchanged(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, labels = _circuit(rng, sheets, "label")
    if len(labels) < 2:
        return False
    one, two = rng.sample(labels, 2)
    a, b = sheets[n].groups[one], sheets[n].groups[two]
    texts = [next(s for s in g.shapes if isinstance(s, Text)) for g in (a, b)]
    if texts[0].text == texts[1].text:
        return False
    _put(sheets, n, one, replace(a, shapes=(replace(texts[0], text=texts[1].text),)))
    _put(sheets, n, two, replace(b, shapes=(replace(texts[1], text=texts[0].text),)))
    return True


def text_on_text(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, groups = _circuit(rng, sheets, "label", "words", "reference")
    one, two = rng.sample(groups, 2)
    a = next(s for s in sheets[n].groups[one].shapes if isinstance(s, Text))
    b = next(s for s in sheets[n].groups[two].shapes if isinstance(s, Text))
    fresh = replace(a, x=b.x + 0.4, y=b.y + 0.4, anchor=b.anchor)
    shapes = tuple(fresh if s is a else s for s in sheets[n].groups[one].shapes)
    _put(sheets, n, one, replace(sheets[n].groups[one], shapes=shapes))
    return True


def text_on_wire(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, labels = _circuit(rng, sheets, "label")
    if not labels:
        return False
    k = rng.choice(labels)
    _put(sheets, n, k, replace(sheets[n].groups[k], shapes=moved_all(sheets[n].groups[k].shapes, 0.0, 1.6)))
    return True


def text_too_small(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, groups = _circuit(rng, sheets, "label", "reference")
    k = rng.choice(groups)
    shapes = tuple(replace(s, size=2.0) if isinstance(s, Text) else s for s in sheets[n].groups[k].shapes)
    _put(sheets, n, k, replace(sheets[n].groups[k], shapes=shapes))
    return True


def symbol_moved(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, symbols = _circuit(rng, sheets, "symbol")
    k = rng.choice(symbols)
    dx, dy = rng.choice(((2.5, 0.0), (0.0, 5.0), (-5.0, 5.0), (400.0, 0.0)))
    shapes = tuple(moved(shape, dx, dy) for shape in sheets[n].groups[k].shapes)
    _put(sheets, n, k, replace(sheets[n].groups[k], shapes=shapes))
    return True


def pin_renamed(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, symbols = _circuit(rng, sheets, "symbol")
    k = rng.choice(symbols)
    shapes = tuple(replace(s, node=f"{s.node}9") if isinstance(s, Mark) else s for s in sheets[n].groups[k].shapes)
    _put(sheets, n, k, replace(sheets[n].groups[k], shapes=shapes))
    return True


def off_the_sheet(rng: random.Random, sheets: list[Sheet]) -> bool:
    n, groups = _circuit(rng, sheets, "words", "label", "cable")
    k = rng.choice(groups)
    _put(sheets, n, k, replace(sheets[n].groups[k], shapes=moved_all(sheets[n].groups[k].shapes, 0.0, 290.0)))
    return True


KINDS: tuple[Fault, ...] = (
    wire_at_wrong_pin,
    wire_lost,
    wire_twice,
    wire_too_short,
    wire_beside,
    wire_through_symbol,
    reference_to_wrong_zone,
    reference_to_wrong_sheet,
    reference_to_wrong_terminal,
    labels_exchanged,
    text_on_text,
    text_on_wire,
    text_too_small,
    symbol_moved,
    pin_renamed,
    off_the_sheet,
)


def _caught(kind: Fault, name: str, seed: int) -> bool | None:
    drawn = drawn_spec(name)
    sheets = list(drawn.sheets)
    if not kind(random.Random(f"{kind.__name__} {seed}"), sheets):
        return None
    return bool(faults_of(sheets, drawn.design, drawn.paper))


@pytest.mark.slow
def test_planted_faults_are_caught() -> None:
    missed, planted = [], 0
    for kind in KINDS:
        for seed in range(EACH):
            caught = _caught(kind, "coil-winder", seed)
            planted += caught is not None
            if caught is False:
                missed.append(f"{kind.__name__} {seed}")
    assert planted >= 150
    assert len(missed) <= 0.05 * planted, missed


def test_wires_moved_to_a_wrong_pin_are_all_caught() -> None:
    """Geometry alone cannot see this fault; the netlist must, every time."""
    results = [_caught(wire_at_wrong_pin, "bench-press-feeder", seed) for seed in range(20)]
    assert False not in results
    assert results.count(True) >= 15
