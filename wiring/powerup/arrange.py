"""The lines put into the order in which they are worked, with a line for every change of the machine in between; their
numbers; and the minutes that they take."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby, pairwise
from math import ceil
from typing import TYPE_CHECKING

from msgspec.structs import replace

from wiring.circuit.model import named
from wiring.powerup.collector import practice
from wiring.powerup.step import Act, Expected, Line, Meter, Setting, Sort, Stage, Who
from wiring.powerup.transitions import acts_between, acts_words, is_for_controls, needs_dead
from wiring.powerup.worth import worth_measuring

if TYPE_CHECKING:
    from wiring.powerup.builder import Builder

#: Stages whose lines of one position are taken together; in the others the order is part of the test.
_BY_POSITION = (Stage.BOND, Stage.SHORTS, Stage.POLARITY, Stage.MAINS, Stage.SUPPLIES, Stage.DRIVES)
#: Stages on the dead machine whose lines of one position are worked on one walk.
_WALKED = (Stage.BOND, Stage.SHORTS, Stage.POLARITY)
#: What a row that is broken off counts beside a probe that is moved.
_NEW_ROW, _NOTHING = 0.01, 1e-6
#: The time of the main sheet is filled up to a whole number of blocks [min], and to so many of them at least: half a
#: day, and two hours more as the machine asks for them (own choice).
_BLOCK_MIN, _LEAST_BLOCKS = 120.0, 2
#: Lines from which the walk through a position is tried; the best one stays, and in it pieces of so many lines move.
_MOST_STARTS, _LONGEST_PIECE = 30, 30


def arrange(to: Builder) -> None:
    """Order, changes, numbers; and what could not be judged, by number."""
    main = _worked(to)
    budget = _BLOCK_MIN * max(ceil(minutes(main) / _BLOCK_MIN), _LEAST_BLOCKS)
    while fuller := _fuller(to, budget, minutes(main)):
        main = fuller
    to.lines = [*_numbered(main), *_annexed([line for line in to.lines if line.annex])]
    to.lines.sort(key=lambda line: (line.stage.number, line.annex))
    unjudged = [f"{line.id} {line.action}: {line.expected.words}" for line in to.lines if _is_unjudged(line)]
    to.not_judged += unjudged


def _fuller(to: Builder, budget: float, taken: float) -> list[Line]:
    """The main sheet with what is worth the minutes that are left, moved there from the annex; empty if nothing is."""
    lines, offered = to.lines, worth_measuring(to, budget - taken)
    while offered:
        to.lines = [replace(line, annex=False) if line in offered else line for line in lines]
        main = _worked(to)
        if minutes(main) <= budget:
            return main
        to.lines, offered = lines, offered[:-1]
    return []


def _worked(to: Builder) -> list[Line]:
    """The main sheet in its order, with a line for every change."""
    main: list[Line] = []
    position = Setting(False)
    for stage in Stage:
        for line in _ordered(to, stage, [line for line in main if line.red][-1:]):
            if line.acts:
                main.append(_worded(to, line, position))
                position = replace(position, mains=False, events=())
                continue
            acts = acts_between(to.survey, position, line.setting) if line.setting else ()
            if acts and not is_for_controls(acts):
                main.append(_worded(to, _change(stage, acts), position))
                acts = ()
            position = line.setting or position
            main.append(replace(line, acts=acts))
    return main


def _is_unjudged(line: Line) -> bool:
    return line.expected.sort is Sort.UNJUDGED


def _ordered(to: Builder, stage: Stage, before: Sequence[Line]) -> list[Line]:
    """The lines of a stage as they are worked, behind those that were worked `before`."""
    lines = [line for line in to.lines if line.stage is stage and not line.annex]
    if stage not in _BY_POSITION:
        return lines
    by: dict[Setting | None, list[Line]] = {}
    for line in lines:
        by.setdefault(line.setting, []).append(line)
    found = list(before)
    # What is held in by hand behind the last stage is let go once.
    held_first = sorted(by, key=lambda setting: not (stage is Stage.POLARITY and setting and setting.moved))
    for group in map(by.__getitem__, held_first):
        found += _walked(to, group, found[-1:]) if stage in _WALKED else group
    return found[len(before) :]


def _walked(to: Builder, lines: list[Line], before: Sequence[Line]) -> list[Line]:
    """Lines of one position in an order in which a probe stays at its part as often as may be, with what is measured
    from one part in one row, and red at that part. Where no probe may go is read first."""
    probed = [*before, *(line for line in lines if line.red and line.black)]
    step = [[_step(last, line) for line in probed] for last in probed]
    known, ends = len(before), range(len(probed))
    starts = sorted(ends[known:], key=lambda n: step[0][n] if before else 0.0)[:_MOST_STARTS]
    walks = [_bettered(_walk([*ends[:known], start], step), step, 1) for start in starts]
    best = min(walks, key=lambda walk: _length(walk, step), default=[])
    found = [line for line in lines if not (line.red and line.black)]
    for n in _bettered(best, step, _LONGEST_PIECE)[known:]:
        found.append(probed[n] if probed[n].row else _turned(to, probed[n], found[-1:] or before))
    return found


#: For every two lines what it takes to go from one to the other.
Steps = Sequence[Sequence[float]]


def _walk(walk: list[int], step: Steps) -> list[int]:
    """A walk that begins with some lines, each next one where the fewest probes move."""
    left = [n for n in range(len(step)) if n not in walk]
    while left:
        nearest = min(left, key=step[walk[-1]].__getitem__)
        left.remove(nearest)
        walk.append(nearest)
    return walk


def _bettered(walk: list[int], step: Steps, longest: int) -> list[int]:
    """A walk with every piece of at most so many lines moved, either way round, to where it saves most, as long as that
    saves anything; its first line stays."""
    moved = True
    while moved:
        moved = False
        for size in range(1, longest + 1):
            for at in range(1, len(walk) - size + 1):
                piece, rest = walk[at : at + size], [*walk[:at], *walk[at + size :]]
                added = [
                    (_added(rest, n, way, step), n, way) for way in _ways_round(piece) for n in range(1, len(rest) + 1)
                ]
                best, n, way = min(added)
                if best < _added(rest, at, piece, step) - _NOTHING:
                    walk, moved = [*rest[:n], *way, *rest[n:]], True
    return walk


def _ways_round(piece: list[int]) -> tuple[list[int], ...]:
    return (piece, piece[::-1]) if len(piece) > 1 else (piece,)


def _added(walk: list[int], at: int, piece: list[int], step: Steps) -> float:
    """What a piece costs at a place in a walk."""
    cost = step[walk[at - 1]][piece[0]] + _length(piece, step)
    return cost + step[piece[-1]][walk[at]] - step[walk[at - 1]][walk[at]] if at < len(walk) else cost


def _length(walk: Sequence[int], step: Steps) -> float:
    return sum(step[last][line] for last, line in pairwise(walk))


def _step(last: Line, line: Line) -> float:
    """How many probes move, and a little where a row ends that might have gone on."""
    return len(line.parts - last.parts) + (_NEW_ROW if line.row and line.row != last.row else 0.0)


def _turned(to: Builder, line: Line, before: Sequence[Line]) -> Line:
    """A line from where the red probe was before, if one of its two stays at that part."""
    assert line.red
    assert line.black
    last = before[0] if before and before[0].red else line
    at, red = last.parts, last.red[0] if last.red else ""
    if line.red[0] != red and line.black[0] in at and (line.red[0] not in at or line.black[0] == red):
        line = replace(line, red=line.black, black=line.red, wires=to.survey.numbers(line.black, line.red))
    assert line.red
    assert line.black
    return replace(line, row=f"From {line.red[0]}", cell=f"{line.red[1]} to {named(line.black)}{line.cell}")


def _change(stage: Stage, acts: tuple[Act, ...]) -> Line:
    expected = Expected(Sort.LOOK, words="done")
    return Line("", stage, "", Meter.LOOK, expected, "stop here", Who.INSTRUCTED, acts=acts)


def _worded(to: Builder, line: Line, before: Setting) -> Line:
    """A change in words; proving dead and the mains are for qualified persons, a live machine for instructed ones."""
    mains = line.stage is Stage.MAINS or any(act.what in ("dead", "on") for act in line.acts)
    who = Who.QUALIFIED if mains else Who.INSTRUCTED if before.mains else Who.BUILDER
    return replace(line, action=acts_words(to.survey, line.acts), who=who)


def _numbered(lines: list[Line]) -> list[Line]:
    """Rows counted within their stage; the cells of a row by letter."""
    found: list[Line] = []
    rows = dict.fromkeys(Stage, 0)
    for _, group in groupby(enumerate(lines), key=lambda entry: (entry[1].stage, entry[1].row or entry[0])):
        cells = [line for _, line in group]
        stage = cells[0].stage
        rows[stage] += 1
        letters = [_letter(n) if len(cells) > 1 else "" for n in range(1, len(cells) + 1)]
        found += [
            replace(line, id=f"{stage.number}.{rows[stage]}{letter}")
            for line, letter in zip(cells, letters, strict=True)
        ]
    return found


def _annexed(lines: list[Line]) -> list[Line]:
    found, count = [], dict.fromkeys(Stage, 0)
    for line in sorted(lines, key=lambda line: line.stage.number):
        count[line.stage] += 1
        found.append(replace(line, id=f"A{line.stage.number}.{count[line.stage]}", row="", cell=""))
    return found


def _letter(number: int) -> str:
    first, last = divmod(number - 1, 26)
    return (chr(96 + first) if first else "") + chr(97 + last)


# Minutes.


def minutes(lines: Sequence[Line]) -> float:
    """How long lines take one after the other, by the times of the trade."""
    total, places = 0.0, set[str]()
    for line in lines:
        total += 0.5 * len(line.acts) if line.acts and not needs_dead(line.acts) else 0.0
        if needs_dead(line.acts):
            total += practice("minutes_dead")
        elif line.meter.is_by_eye:
            total += 0.0 if line.acts and not line.action else practice("minutes_look")
        else:
            now = line.parts
            total += practice("minutes_reading") + practice("minutes_probe") * len(now - places)
            places = now
    return total
