"""Where to measure next: the place whose reading tells most of the remaining causes for every minute that it takes, by
expected information and the times of the trade."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import inf, log2

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.powerup.builder import METER_LEAST, UNPLUGGED, practice
from wiring.powerup.causes import Cause
from wiring.powerup.diagnose import Answer, Diagnosis, Ranked
from wiring.powerup.predict import Predictor
from wiring.powerup.reading import HIGH_OHM, look_prediction, spread
from wiring.powerup.step import Expected, Line, Meter, Setting, Sort, Who
from wiring.powerup.survey import Survey
from wiring.powerup.transitions import acts_between, needs_dead

#: Causes that are weighed, candidates that are tried, and the least information worth a measurement [bit].
MOST_CAUSES = 36
_MOST_CANDIDATES = 160
LEAST_BIT = 0.05
#: Predictions closer than this many standard deviations look the same.
_APART = 5.0


class Outcome(Struct, frozen=True):
    """One reading to expect at a place, and the causes that lead to it."""

    value: float
    causes: tuple[Ranked, ...]


class Next(Struct, frozen=True):
    """A measurement: its line, what it tells [bit], what to expect under each cause, the minutes that it takes from
    where the last reading was taken, and how many were weighed."""

    line: Line
    bits: float
    outcomes: tuple[Outcome, ...]
    minutes: float = 1.0
    weighed: int = 1

    @property
    def rate(self) -> float:
        """What it tells for a minute [bit/min]."""
        return self.bits / self.minutes


def next_place(diagnosis: Diagnosis, answer: Answer, *, in_order: bool = False) -> Next | None:
    """The measurement that separates the remaining causes fastest; None when nothing that is safe to reach does.

    With `in_order` the first one that tells anything at all, as somebody asks who goes down a list.
    """
    remaining = sorted(answer.remaining, key=lambda one: -one.share)[:MOST_CAUSES]
    if len(remaining) < 2:
        return None
    causes = [one.cause for one in remaining]
    lines = list(_candidates(diagnosis, answer, causes))
    told = _predictions(diagnosis.predictor, lines, causes)
    best: Next | None = None
    last = diagnosis.readings[-1].line
    for n, line in enumerate(lines):
        found = _weigh(line, [column[n] for column in told], remaining)
        found = replace(found, minutes=minutes_to(diagnosis.predictor.survey, last, line))
        if found.bits >= LEAST_BIT and (best is None or found.rate > best.rate + 1e-9):
            best = found
            if in_order:
                break
    return best and replace(best, weighed=len(lines))


def minutes_to(survey: Survey, last: Line, line: Line) -> float:
    """From where the last reading was taken: the machine changed, the probes moved, and the reading."""
    acts = acts_between(survey, last.setting, line.setting) if last.setting and line.setting else ()
    changing = practice("minutes_dead") if needs_dead(acts) else practice("minutes_look") * len(acts)
    if line.meter.is_by_eye:
        return changing + practice("minutes_look")
    return changing + practice("minutes_reading") + practice("minutes_probe") * len(line.parts - last.parts)


def _predictions(predictor: Predictor, lines: Sequence[Line], causes: Sequence[Cause]) -> list[list[float]]:
    """What every cause predicts for every line; the lines of one position are read together."""
    by: dict[Setting | None, list[int]] = {}
    for n, line in enumerate(lines):
        by.setdefault(line.setting, []).append(n)
    found = []
    for cause in causes:
        column = [0.0] * len(lines)
        for setting, places in by.items():
            for n, value in zip(places, _together(predictor, cause, setting, [lines[n] for n in places]), strict=True):
                column[n] = value
        found.append(column)
    return found


def _together(predictor: Predictor, cause: Cause, setting: Setting | None, lines: Sequence[Line]) -> Sequence[float]:
    if setting is None:
        return [look_prediction(cause, line) for line in lines]
    known = predictor.by_setting.get(setting, ())
    if all(line in known for line in lines):
        readings = predictor.readings(cause, setting)
        return [readings[known.index(line)] for line in lines]
    return predictor.read(cause, setting, lines)


def _weigh(line: Line, values: Sequence[float], remaining: Sequence[Ranked]) -> Next:
    """The information of a line: the entropy of its distinguishable outcomes."""
    told = sorted(zip(values, remaining, strict=True), key=lambda entry: (entry[0], entry[1].cause.id))
    outcomes: list[list[tuple[float, Ranked]]] = []
    for value, one in told:
        if outcomes and _alike(line, outcomes[-1][-1][0], value):
            outcomes[-1].append((value, one))
        else:
            outcomes.append([(value, one)])
    total = sum(one.share for one in remaining)
    weights = [sum(one.share for _, one in group) / total for group in outcomes]
    bits = -sum(weight * log2(weight) for weight in weights if weight > 0.0)
    return Next(
        line, bits, tuple(Outcome(group[len(group) // 2][0], tuple(one for _, one in group)) for group in outcomes)
    )


def _alike(line: Line, first: float, second: float) -> bool:
    if line.meter.is_resistance and (first > HIGH_OHM or second > HIGH_OHM):
        return first > HIGH_OHM and second > HIGH_OHM
    if line.expected.sort is Sort.RISES:
        return (first >= line.expected.low) == (second >= line.expected.low)
    return abs(first - second) <= _APART * spread(line.meter, first, second)


def predict(predictor: Predictor, cause: Cause, line: Line) -> float:
    """What a cause predicts for any line."""
    return _together(predictor, cause, line.setting, [line])[0]


def extra_line(predictor: Predictor, like: Line, meter: Meter, red: Node, black: Node) -> Line:
    """A line for a measurement that the sheet does not have, in the position of a line that it has."""
    setting = UNPLUGGED if meter.is_resistance else like.setting
    assert setting is not None
    access = predictor.to.access(meter, setting, (red, black))
    bare = Line(
        f"{like.id}+",
        like.stage,
        "further measurement",
        meter,
        Expected(Sort.VALUE),
        "",
        like.who.at_least(access.who) if setting.mains else Who.BUILDER,
        setting,
        red,
        black,
        "",
        predictor.survey.numbers(red, black),
        access=access,
    )
    value = predictor.read(None, setting, [bare])[0]
    room = inf if value == inf else 0.03 * abs(value) + METER_LEAST[meter]
    low = HIGH_OHM if value == inf else value - room
    expected = Expected(Sort.OPEN if value == inf else Sort.VALUE, value, low, inf if value == inf else value + room)
    return replace(bare, expected=expected)


# Candidates.


def _candidates(diagnosis: Diagnosis, answer: Answer, causes: Sequence[Cause]) -> Iterator[Line]:
    """Looks, lines of the sheet in positions that were reached, then points beside the suspects."""
    predictor = diagnosis.predictor
    done = {_key(reading.line) for reading in diagnosis.readings}
    shown = {name for cause in causes for name in cause.looks}
    yield from (line for line in predictor.looks if shown.intersection(line.about) and _key(line) not in done)
    reached = {reading.line.setting for reading in diagnosis.readings}
    settings = [reading.line.setting for reading in answer.wrong if reading.line.setting]
    for line in predictor.lines:
        dead = line.setting is not None and not line.setting.mains
        within = line.setting in reached or (dead and line.annex)
        if within and _key(line) not in done and (dead or line.setting in settings):
            yield line
    like = next((reading.line for reading in answer.wrong if reading.line.setting), None)
    if like is None or like.setting is None:
        return
    yielded = 0
    for meter, red, black in _places(predictor, like, causes):
        line = Line(
            f"{like.id}+",
            like.stage,
            "",
            meter,
            Expected(Sort.VALUE),
            "",
            like.who,
            UNPLUGGED if meter.is_resistance else like.setting,
            red,
            black,
            access=predictor.to.access(meter, like.setting, (red, black)),
        )
        if line.access is None or line.access.rating is None:
            continue
        line = replace(line, who=line.who.at_least(line.access.who))
        if _key(line) in done or red == black:
            continue
        done.add(_key(line))
        yielded += 1
        yield line
        if yielded >= _MOST_CANDIDATES:
            return


def _key(line: Line) -> tuple[Setting | None, Meter, Node | None, Node | None, str, tuple[str, ...], object]:
    return line.setting, line.meter, line.red, line.black, line.wire, line.about, line.seen


def _places(predictor: Predictor, like: Line, causes: Sequence[Cause]) -> Iterator[tuple[Meter, Node, Node]]:
    """Pairs of points around every cause: ohms on the dead machine, then volts in the position of the wrong line."""
    assert like.setting is not None
    pairs = [pair for cause in causes for pair in _pairs(predictor, cause)]
    pairs = list(dict.fromkeys(pairs))
    for red, black in pairs:
        yield Meter.OHM, red, black
    if not like.setting.mains:
        for first, second in pairwise(pairs):
            yield Meter.OHM, first[0], second[1]
        return
    meter = Meter.AC_V if like.meter in (Meter.AC_V, Meter.AC_A) else Meter.DC_V
    for red, black in pairs:
        yield meter, red, black
    back = like.black or predictor.survey.earth
    points = list(dict.fromkeys(point for pair in pairs for point in pair))
    for other in (back, predictor.survey.earth):
        if other is not None:
            for point in points:
                yield meter, point, other


def _pairs(predictor: Predictor, cause: Cause) -> Iterator[tuple[Node, Node]]:
    """Where a cause shows: across what is open, loose or bridged; from where a conductor is to where it should be."""
    circuit = predictor.survey.circuit
    for name in (*sorted(cause.opened | cause.closed), *(name for name, _ in cause.ohms)):
        if name in circuit.conductor:
            yield circuit.conductor[name].ends
        else:
            yield from ((path.a, path.b) for path in circuit.inner if path.id == name)
    if cause.bridge and all(node[0] for node in cause.bridge):
        yield cause.bridge
    for name, a, b in cause.moved:
        wire = circuit.conductor[name]
        yield wire.ends
        yield a, b
    for name in sorted(cause.off | ({cause.volts[0]} if cause.volts else set())):
        yield from _terminals(predictor, name)
    if cause.fuse:
        yield from _terminals(predictor, cause.fuse[0])


def _terminals(predictor: Predictor, name: str) -> Iterator[tuple[Node, Node]]:
    from wiring.powerup.survey import pairs_of

    part = predictor.survey.circuit.parts[name]
    for pair in pairs_of(part):
        yield pair.a, pair.b
    output = predictor.survey.sources.get(name)
    if output is not None:
        yield (name, output.plus), (name, output.minus)
