"""A person with a meter, simulated: readings of a faulty machine with noise, line by line until one is wrong."""

from __future__ import annotations

from math import hypot, inf
from random import Random

from msgspec import Struct

from wiring.powerup.causes import Cause
from wiring.powerup.diagnose import Answer, Diagnosis
from wiring.powerup.next_place import next_place, predict
from wiring.powerup.predict import Predictor
from wiring.powerup.reading import Reading, look_prediction
from wiring.powerup.step import Line, Meter, Setting

#: Noise of a usual meter: share of the reading, and counts in the unit of the meter (common practice, no source).
NOISE = {
    Meter.DC_V: (0.005, 0.01),
    Meter.AC_V: (0.010, 0.1),
    Meter.DC_A: (0.03, 0.004),
    Meter.AC_A: (0.03, 0.01),
    Meter.OHM: (0.01, 0.03),
    Meter.MILLIOHM: (0.02, 0.0005),
    Meter.LOOK: (0.0, 0.0),
    Meter.SEEN: (0.0, 0.0),
}
MOST_FURTHER = 6


class Trial(Struct, frozen=True):
    """One injected fault. `seen` False when every line of the sheet reads right; `place` of the group with the true
    cause, from 1, 0 when it is not listed; `further` measurements until `alone` or not, and their `minutes`."""

    cause: Cause
    seen: bool
    place: int = 0
    strict_place: int = 0
    further: int = 0
    alone: bool = False
    stage: int = 0
    left: int = 0
    minutes: float = 0.0


def noisy(value: float, meter: Meter, chance: Random) -> float:
    """A reading of a value; resistances and currents have no sign."""
    if value == inf:
        return value
    if meter.is_by_eye:
        return value
    share, count = NOISE[meter]
    read = chance.gauss(value, hypot(share * value, count))
    return read if meter in (Meter.DC_V, Meter.AC_V) else max(read, 0.0)


def read_until_wrong(predictor: Predictor, cause: Cause, chance: Random) -> list[Reading]:
    """The sheet in its order, up to the end of the position in which a reading is wrong."""
    readings: list[Reading] = []
    for setting, lines in _in_order(predictor):
        if setting is None:
            mine = [Reading(line, look_prediction(cause, line)) for line in lines]
        else:
            values = dict(zip(predictor.by_setting[setting], predictor.readings(cause, setting), strict=True))
            mine = [Reading(line, noisy(values[line], line.meter, chance)) for line in lines]
        readings += mine
        if any(reading.is_wrong for reading in mine):
            break
    return readings


def _in_order(predictor: Predictor) -> list[tuple[Setting | None, tuple[Line, ...]]]:
    """Positions with their lines on the main sheet, and every look alone, in the order of the sheet."""
    place = {id(line): n for n, line in enumerate(predictor.to.lines)}
    found: list[tuple[Setting | None, tuple[Line, ...]]] = [(None, (line,)) for line in predictor.looks]
    for setting, lines in predictor.by_setting.items():
        main = tuple(line for line in lines if not line.annex)
        found += [(setting, main)] if main else []
    return sorted(found, key=lambda entry: place[id(entry[1][0])])


def play(predictor: Predictor, cause: Cause, seed: int, *, in_order: bool = False, most: int = MOST_FURTHER) -> Trial:
    """A blind trial: readings, ranking, then at most `most` further measurements where the tool says, or `in_order`."""
    chance = Random(seed)
    readings = read_until_wrong(predictor, cause, chance)
    diagnosis = Diagnosis(predictor)
    diagnosis.add(readings)
    if not diagnosis.wrong:
        return Trial(cause, False)
    stage = diagnosis.wrong[0].line.stage.number
    answer = diagnosis.answer()
    place, strict = _place(answer, cause), _strict_place(answer, cause)
    further, minutes = 0, 0.0
    while True:
        chosen = next_place(diagnosis, answer, in_order=in_order)
        if chosen is None or further >= most:
            break
        value = noisy(predict(predictor, cause, chosen.line), chosen.line.meter, chance)
        minutes += chosen.minutes
        diagnosis.add([Reading(chosen.line, value)])
        further += 1
        answer = diagnosis.answer()
    in_it = any(one.cause.id == cause.id for one in answer.remaining)
    alone = in_it and chosen is None
    return Trial(cause, True, place, strict, further, alone, stage, len(answer.remaining), minutes)


def _place(answer: Answer, cause: Cause) -> int:
    for n, group in enumerate(answer.groups, 1):
        if any(one.cause.id == cause.id for one in group.members):
            return n
    return 0


def _strict_place(answer: Answer, cause: Cause) -> int:
    for n, one in enumerate(answer.remaining, 1):
        if one.cause.id == cause.id:
            return n
    return 0
