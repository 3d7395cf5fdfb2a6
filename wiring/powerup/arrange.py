"""The lines put into the order in which they are worked, with a line for every change of the machine in between; their
numbers; and the minutes that they take."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from msgspec.structs import replace

from wiring.circuit.model import Node, named
from wiring.powerup.step import Act, Expected, Line, Meter, Setting, Sort, Stage, Who
from wiring.powerup.transitions import acts_between, acts_words, is_for_controls, needs_dead
from wiring.rulebooks.tables import load

if TYPE_CHECKING:
    from wiring.powerup.builder import Builder

#: Stages whose lines of one position are taken together; in the others the order is part of the test.
_BY_POSITION = (Stage.BOND, Stage.SHORTS, Stage.MAINS, Stage.SUPPLIES, Stage.DRIVES)
#: Lines from which the walk through a position is tried; the best one stays.
_MOST_STARTS = 40


def arrange(to: Builder) -> None:
    """Order, changes, numbers; and what could not be judged, by number."""
    main: list[Line] = []
    position = Setting(False)
    for stage in Stage:
        for line in _ordered(to, stage):
            if line.acts:
                main.append(_worded(to, line))
                position = replace(position, mains=False, events=())
                continue
            acts = acts_between(to.survey, position, line.setting) if line.setting else ()
            position = line.setting or position
            if acts and not is_for_controls(acts):
                main.append(_worded(to, _change(stage, acts)))
                acts = ()
            main.append(replace(line, acts=acts))
    annex = [line for line in to.lines if line.annex]
    to.lines = [*_numbered(main), *_annexed(annex)]
    to.lines.sort(key=lambda line: (line.stage.number, line.annex))
    unjudged = [f"{line.id} {line.action}: {line.expected.words}" for line in to.lines if _is_unjudged(line)]
    to.not_judged += unjudged


def _is_unjudged(line: Line) -> bool:
    return line.expected.sort is Sort.UNJUDGED


def _ordered(to: Builder, stage: Stage) -> list[Line]:
    lines = [line for line in to.lines if line.stage is stage and not line.annex]
    if stage is Stage.POLARITY:
        return [line for _, group in groupby(lines, lambda line: line.setting) for line in _walked(to, list(group))]
    if stage not in _BY_POSITION:
        return lines
    places = {setting: n for n, setting in reversed(list(enumerate(line.setting for line in lines)))}
    return sorted(lines, key=lambda line: places[line.setting])


def _walked(to: Builder, lines: list[Line]) -> list[Line]:
    """Lines of one position in an order in which a probe stays at its part as often as may be, each turned so that red
    is the one, with what is measured from one part in one row. Where no probe may go is read first."""
    probed = [line for line in lines if line.red and line.black]
    walks = [_walk(start, probed) for start in probed[:_MOST_STARTS]]
    found = [line for line in lines if not (line.red and line.black)]
    for line in min(walks, key=_moves, default=[]):
        found.append(_turned(to, line, found[-1]) if found and found[-1].red else _from_red(line))
    return found


def _walk(start: Line, lines: Sequence[Line]) -> list[Line]:
    """The lines beginning with one, each next one where the fewest probes move."""
    found, left = [start], [line for line in lines if line is not start]
    while left:
        at = _places(found[-1])
        nearest = min(left, key=lambda line: len(_places(line) - at))
        left.remove(nearest)
        found.append(nearest)
    return found


def _moves(lines: Sequence[Line]) -> int:
    return sum(len(_places(line) - _places(last)) for last, line in pairwise(lines))


def _turned(to: Builder, line: Line, last: Line) -> Line:
    """A line whose red probe stays where the one before had it, if one of its two can."""
    assert line.red
    assert line.black
    assert last.red
    at = _places(last)
    red_stays = line.red[0] == last.red[0]
    if not red_stays and line.black[0] in at and (line.red[0] not in at or line.black[0] == last.red[0]):
        line = replace(line, red=line.black, black=line.red, wires=to.survey.numbers(line.black, line.red))
    return _from_red(line)


def _from_red(line: Line) -> Line:
    assert line.red
    assert line.black
    return replace(line, row=f"From {line.red[0]}", cell=f"{line.red[1]} to {named(line.black)}{line.cell}")


def _change(stage: Stage, acts: tuple[Act, ...]) -> Line:
    expected = Expected(Sort.LOOK, words="done")
    return Line("", stage, "", Meter.LOOK, expected, "stop here", Who.INSTRUCTED, acts=acts)


def _worded(to: Builder, line: Line) -> Line:
    """A change in words; proving dead and the mains are for qualified persons."""
    mains = line.stage is Stage.MAINS or any(act.what in ("dead", "on") for act in line.acts)
    who = Who.QUALIFIED if mains else Who.BUILDER
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


def _minute(name: str) -> float:
    row = load("common", "power_up").row(f"minutes_{name}")
    assert row is not None
    return row.number("value")


def minutes(lines: tuple[Line, ...]) -> float:
    """How long lines take one after the other, by the times of the trade."""
    total, places = 0.0, set[str]()
    for line in lines:
        total += 0.5 * len(line.acts) if line.acts and not needs_dead(line.acts) else 0.0
        if needs_dead(line.acts):
            total += _minute("dead")
        elif line.meter.is_by_eye:
            total += 0.0 if line.acts and not line.action else _minute("look")
        else:
            now = _places(line)
            total += _minute("reading") + _minute("probe") * len(now - places)
            places = now
    return total


def _places(line: Line) -> set[str]:
    ends: tuple[Node | None, Node | None] = (line.red, line.black)
    return {end[0] for end in ends if end} | ({line.wire.split(":")[0]} if line.wire else set())
