"""The sheet in words: what to set, where to measure, what to expect; and a reading as people write it."""

from __future__ import annotations

import re
from math import inf, isfinite, isnan
from typing import TYPE_CHECKING

from wiring.circuit.model import Node, named
from wiring.powerup.step import Expected, Line, Meter, Setting, Sort, Who
from wiring.powerup.stored_energy import proved_words, wait_words
from wiring.powerup.survey import Survey
from wiring.powerup.transitions import acts_between, acts_words, held_words, wires_words

if TYPE_CHECKING:
    from collections.abc import Sequence

_PREFIXES = {"": 1.0, "m": 1e-3, "k": 1e3, "M": 1e6, "µ": 1e-6, "u": 1e-6}
_NUMBER = re.compile(
    r"^([<>]?)\s*([+-]?\d+(?:[.,]\d+)?(?:e[+-]?\d+)?)\s*(m|k|M|µ|u)?\s*(ohms?|Ω|V|A|°?C)?(?:\s*(?:AC|DC))?$"
)
_OPEN = frozenset({"ol", "o.l", "o.l.", "open", "inf", "infinite", "overload", "no reading"})
_GOOD = frozenset({"ok", "yes", "y", "good", "in order", "pass"})
_ON, _OFF = frozenset({"on", "in", "lit", "1"}), frozenset({"off", "out", "dark", "0"})
_BAD = frozenset({"not ok", "no", "n", "bad", "wrong", "fail"})
_UNITS = {"V": "V", "A": "A", "C": "°C", "°C": "°C", "ohm": "ohm", "ohms": "ohm", "Ω": "ohm"}


#: Who may do a line, as it is printed.
WHO = {
    Who.BUILDER: "builder",
    Who.INSTRUCTED: "instructed person",
    Who.QUALIFIED: "QUALIFIED PERSON",
}


class NoReadingError(ValueError):
    """A text that is no reading; the message says what was expected."""


def quantity(value: float, unit: str) -> str:
    """A value for the bench, three digits: "12.3 mohm", "24.0 V", "open"."""
    if value == inf:
        return "open"
    if unit == "°C":
        return f"{value:.0f} °C"
    for prefix, scale in (("M", 1e6), ("k", 1e3), ("", 1.0), ("m", 1e-3)):
        if abs(value) >= scale or prefix == "m":
            digits = f"{value / scale:.3g}" if abs(value / scale) < 999.5 else f"{value / scale:.0f}"
            return f"{digits} {prefix}{unit}" if value else f"0 {unit}"
    return f"{value:.3g} {unit}"


def meter_words(line: Line) -> str:
    """The setting of the meter, and what meter and leads must be made for: "V DC, CAT III 300 V"."""
    return f"{line.meter.value}, {line.access.category}" if line.access else line.meter.value


def expected_words(line: Line) -> str:
    """What a line expects, with its limits."""
    expected, unit = line.expected, line.meter.unit
    if expected.sort is Sort.UNJUDGED or expected.sort is Sort.LOOK:
        return expected.words
    if expected.sort is Sort.SEEN:
        return "on" if expected.value else "off"
    if expected.sort is Sort.OPEN:
        return f"open: above {quantity(expected.low, unit)}" + (f"; {expected.words}" if expected.words else "")
    if expected.sort is Sort.RISES:
        return f"no fixed value: rises while capacitors charge; not steady below {quantity(expected.low, unit)}"
    if expected.sort is Sort.BELOW:
        return f"below {quantity(expected.high, unit)}" + (f"; {expected.words}" if expected.words else "")
    assert expected.value is not None
    if expected.low <= 0.0 < expected.high and line.meter.is_resistance:
        return f"below {quantity(expected.high, unit)} (computed {quantity(expected.value, unit)})"
    told = f"{quantity(expected.value, unit)}, {limits_words(expected, unit)}"
    return f"{told}: {expected.words}" if line.meter is Meter.LOOP else told


def limits_words(expected: Expected, unit: str) -> str:
    """ "23.3 V to 24.7 V", in order."""
    low, high = expected.low, expected.high
    return f"{quantity(low, unit)} to {quantity(high, unit)}"


def probe_words(line: Line, survey: Survey) -> str:
    """Where the probes or the clamp go, with the numbers on the conductors."""
    if line.wire:
        path = line.wire
        if ":" in path:
            return f"in place of {path.split(':')[0]}"
        first, second = survey.circuit.conductor[path].ends
        number = line.wires[0] if line.wires else path
        return f"clamp on wire {number}, {named(first)} to {named(second)}"
    if line.red is None or line.black is None or line.meter.is_by_eye:
        return ""
    numbers = f" (wires {', '.join(line.wires)})" if line.wires else ""
    return f"red {named(line.red)}, black {named(line.black)}{numbers}"


def setting_words(survey: Survey, setting: Setting) -> str:
    """What to set before the lines of a position."""
    out = [name for name in survey.devices if survey.poles([name]) <= setting.opened]
    inside = [name for name in survey.devices if name not in out]
    if not setting.mains:
        told = [dead_words(survey), survey.main_switch_words]
        off = [name for name in sorted(setting.opened) if ":" not in name]
        if off:
            told.append(f"taken off: {wires_words(survey, off)}")
    else:
        told = ["Mains on", survey.main_switch_words]
        if setting.opened & survey.motor_wires:
            told.append("motors unplugged")
    told.append(_some("out", out, inside))
    if not out or inside:
        told.append(_some("in", inside, out))
    is_open = any(actuator == "handle" for _, actuator in setting.moved)
    told = [word.replace(" on", " off") if is_open and word == survey.main_switch_words else word for word in told]
    told += [held_words("hold", f"{part}:{moved}") for part, moved in sorted(setting.moved) if moved != "handle"]
    told += _events(setting)
    if setting.outputs:
        told.append("outputs of the program on")
    if setting.load:
        at_work = f"machine at work as in state {setting.load} of the plan"
        told.append("motors energised at rest" if setting.load == "hold" else at_work)
    return "; ".join(word for word in told if word) + "."


def dead_words(survey: Survey) -> str:
    """How the machine is made dead: isolated, waited for, proved at the inlet and at every store of energy."""
    wait, places = wait_words(survey.stores), proved_words(survey.stores)
    proved = f"proved dead at the inlet and {places}" if places else "proved dead"
    return ", ".join(word for word in ("Unplugged, locked off", wait, proved) if word)


def change_words(survey: Survey, before: Setting | None, setting: Setting) -> str:
    """What is done by hand to come from a position to the next one; the whole position where there was none."""
    if before is None:
        return setting_words(survey, setting)
    return f"{acts_words(survey, acts_between(survey, before, setting))}."


def _some(word: str, names: list[str], others: list[str]) -> str:
    if not names:
        return ""
    return f"every fuse and breaker {word}" if not others else f"{word}: {', '.join(names)}"


def _events(setting: Setting) -> list[str]:
    told = []
    events = list(setting.events)
    while events:
        event = events.pop(0)
        if event.on and events and (events[0].part, events[0].on) == (event.part, False):
            events.pop(0)
            told.append(f"press {event.part} and let go")
        else:
            told.append(f"{'work' if event.on else 'let go'} {event.part}{' and hold' if event.on else ''}")
    return [", then ".join(told)] if told else []


def parse_reading(text: str, meter: Meter) -> float:
    """A reading as written: "24.1", "24.1 V", "8.2 mohm", "OL", "ok", "not ok".

    A bare number is in the unit of the meter, milliohm for the milliohm meter. Raises NoReadingError.
    """
    plain = text.strip()
    if meter is Meter.LOOK:
        if plain.lower() in _GOOD | _BAD:
            return 0.0 if plain.lower() in _GOOD else 1.0
        raise NoReadingError(f"{plain[:30]!r} is no answer. Write ok or not ok.")
    if meter is Meter.SEEN:
        if plain.lower() in _ON | _OFF:
            return 1.0 if plain.lower() in _ON else 0.0
        raise NoReadingError(f"{plain[:30]!r} is no answer. Write on or off.")
    if plain.lower() in _OPEN:
        if meter.is_resistance:
            return inf
        raise NoReadingError(f"{plain[:30]!r} is a reading of resistance, but {meter.unit} is measured here.")
    match = _NUMBER.match(plain)
    if match is None:
        wanted = "OL or " if meter.is_resistance else ""
        raise NoReadingError(
            f"{plain[:30]!r} is no reading. Write {wanted}a number, such as 24.1 or 24.1 {meter.unit}."
        )
    sign, number, prefix, unit = match.groups()
    if unit and _UNITS[unit] != meter.unit:
        raise NoReadingError(f"{plain[:30]!r} is in {unit}, but {meter.unit} is measured here.")
    if sign == ">" and meter.is_resistance:
        return inf
    value = float(number.replace(",", ".")) * _PREFIXES[prefix or ""]
    if meter is Meter.MILLIOHM and not unit and not prefix:
        value *= 1e-3
    if isnan(value) or not isfinite(value):
        raise NoReadingError(f"{plain[:30]!r} is no finite number.")
    return value


def node_of(text: str, nodes: Sequence[Node]) -> Node | None:
    """The terminal that a text names: G1:V+."""
    part, _, terminal = text.strip().partition(":")
    return (part, terminal) if (part, terminal) in nodes else None
