"""Whether the terminals and figures of a part make sense together, beyond what its data say one by one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from pydantic import BaseModel

from wiring.parts.base import PartModel, split_pair
from wiring.parts.elements import Element
from wiring.plan.fault import nearest
from wiring.plan.records import CoilRating, CurrentRange, PhaseCurrent, Rated, Voltage, VoltageRange

_MARKING = re.compile(r"[^\s:,;.][^\s:,;]*")
_ENDS = ("a", "b", "plus", "minus", "terminal")
#: A way into the data of a part.
Path = tuple[str | int, ...]
#: Beyond these, in SI units, a figure is a slip of the pen, and computing with it would fail.
_SMALLEST, _LARGEST = 1e-15, 1e12
_MOST_POINTS = 999
_WITHOUT_FIGURES = frozenset((str, bool, dict))
#: Figures that a circuit is divided by, or that mean nothing at zero.
_ABOVE_ZERO = frozenset(
    (
        "bleeder",
        "capacitance",
        "channel_current",
        "coil",
        "efficiency",
        "enable_resistance",
        "input",
        "input_current",
        "input_resistance",
        "input_voltage",
        "output",
        "output_current",
        "output_voltage",
        "phase_current",
        "phase_resistance",
        "power_factor",
        "primary",
        "rated",
        "rated_current",
        "rated_power",
        "rating",
        "resistance",
        "secondary",
        "setting",
        "signal_resistance",
        "signals",
        "start_factor",
        "supply",
        "voltage",
    )
)
_AT_MOST_ONE = frozenset(("efficiency", "power_factor"))
#: Resistances of a closed path may be nothing.
_MAY_BE_ZERO = {"breaker": ("resistance",), "fuse": ("resistance",)}


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing that does not make sense: where in the part's data, what, and what was expected."""

    path: Path
    problem: str
    expected: str
    near: tuple[str, ...] = ()


def doubts(model: PartModel) -> Iterator[Doubt]:
    """Everything about a part that does not make sense. Figures come first: elements are built of sound ones only."""
    wrong = [*_figures(model), *_relay_outputs(model)]
    yield from wrong
    if wrong:
        return
    names = [point.name for point in model.points()]
    yield from _contacts(model)
    yield from _safety_outputs(model)
    yield from _points(model, names)
    yield from _renamings(model.terminals, names)
    yield from _ends(model.elements(), names)


def _values(value: object, path: Path, name: str) -> Iterator[tuple[Path, str, object]]:
    """Every single value below one that may hold a figure, with its path and the last name on it."""
    if isinstance(value, BaseModel):
        keys = type(value).model_fields
        for inner, item in value.__dict__.items():
            if item is not None and type(item) not in _WITHOUT_FIGURES:
                yield from _values(item, (*path, keys[inner].alias or inner), inner)
    elif isinstance(value, list | tuple):
        for n, item in enumerate(value):
            yield from _values(item, (*path, n), name)
    else:
        yield path, name, value


def _numbers(value: object) -> tuple[float, ...]:
    match value:
        case bool():
            return ()
        case float() | int():
            return (float(value),)
        case Voltage():
            return (value.volts,)
        case VoltageRange() | CurrentRange():
            return (value.low, value.high)
        case PhaseCurrent():
            return (value.amps,)
        case CoilRating() if not value.is_known:
            return (value.voltage.volts,)
        case Rated():
            return (value.voltage.volts, value.current_a, value.power_w) if value.voltage.volts else (0.0,)
    return ()


def _figures(model: PartModel) -> Iterator[Doubt]:
    for path, name, value in _values(model, (), ""):
        for number in _numbers(value):
            doubt = _figure(model.kind_name, path, name, number)
            if doubt:
                yield doubt
                break


def _figure(kind: str, path: Path, name: str, number: float) -> Doubt | None:
    if name == "points_" and not 1.0 <= number <= _MOST_POINTS:
        return Doubt(path, f"{number:g} points cannot be", f"1 to {_MOST_POINTS}")
    if number != 0.0 and not _SMALLEST <= abs(number) <= _LARGEST:
        return Doubt(path, f"`{name}` is beyond anything real", "a figure of a real part, in the right unit")
    if name in _ABOVE_ZERO and name not in _MAY_BE_ZERO.get(kind, ()) and number <= 0.0:
        return Doubt(path, f"`{name}` is zero", "a value above zero")
    if name in _AT_MOST_ONE and number > 1.0:
        return Doubt(path, f"`{name}` is above one", "a value above zero and not above 1 or 100 %")
    return None


def _contacts(model: PartModel) -> Iterator[Doubt]:
    contacts = getattr(model, "contacts", None)
    if not isinstance(contacts, Mapping):
        return
    seen: dict[str, list[tuple[str, str]]] = {}
    for pair, word in contacts.items():
        a, b = split_pair(pair)
        if a == b:
            yield Doubt(("contacts", pair), f"contact {pair} joins a terminal with itself", "two different terminals")
        for end in dict.fromkeys((a, b)):
            seen.setdefault(end, []).append((pair, word.split()[0]))
    for end, uses in seen.items():
        ends = {frozenset(split_pair(pair)) for pair, _ in uses}
        if len(ends) < len(uses):
            yield Doubt(("contacts", uses[1][0]), f"two contacts stand between the same terminals {uses[0][0]}", "one")
        elif len(uses) > 1 and sorted(word for _, word in uses) != ["NC", "NO"]:
            pairs = " and ".join(pair for pair, _ in uses)
            yield Doubt(
                ("contacts", uses[1][0]),
                f"contacts {pairs} share terminal {end}",
                "a terminal of its own for each, or a change-over such as {11-12: NC, 11-14: NO}",
            )


def _relay_outputs(model: PartModel) -> Iterator[Doubt]:
    """The output of a relay is a contact, so its name is a pair."""
    outputs = getattr(model, "outputs", None)
    if not isinstance(outputs, Mapping):
        return
    for name, word in outputs.items():
        if word.split()[0] == "relay" and not _is_pair(name):
            path = ("outputs", name)
            yield Doubt(path, f"{name[:40]!r} is no pair of terminals", "both terminals of the relay, such as 13-14")


def _is_pair(text: str) -> bool:
    try:
        split_pair(text)
    except ValueError:
        return False
    return True


def _safety_outputs(model: PartModel) -> Iterator[Doubt]:
    """The outputs of a safety relay have terminals of their own."""
    if model.kind_name != "safety-relay":
        return
    data = dict(model)
    taken = {"A1", "A2", *(end for pair in (*data["channels"], data["reset"]) for end in split_pair(pair))}
    for key in ("outputs", "auxiliary", "delayed"):
        for pair in data[key]:
            ends = split_pair(pair)
            if taken.intersection(ends) or ends[0] == ends[1]:
                yield Doubt((key,), f"output {pair} shares a terminal", "two terminals of its own for each output")
            taken.update(ends)


def _contact_with(model: PartModel, name: str) -> tuple[str, ...]:
    contacts = getattr(model, "contacts", None)
    pairs = contacts if isinstance(contacts, Mapping) else {}
    return next((("contacts", pair) for pair in pairs if name in split_pair(pair)), ())


def _points(model: PartModel, names: Sequence[str]) -> Iterator[Doubt]:
    if not names:
        yield Doubt((), "it has no terminals", "at least one")
    for name, count in Counter(names).items():
        if count > 1:
            path = _contact_with(model, name)
            yield Doubt(path, f"terminal {name} stands for {count} different points", "each marking once")
        if not _MARKING.fullmatch(name):
            yield Doubt((), f"{name[:40]!r} is no marking of a terminal", "a word without space, colon or comma")


def _renamings(given: Mapping[str, str], names: Sequence[str]) -> Iterator[Doubt]:
    after = Counter(given.get(name, name) for name in dict.fromkeys(names))
    for name, marking in given.items():
        path = ("terminals", name)
        if name not in names:
            yield Doubt(path, f"there is no terminal {name[:40]!r}", f"one of {_some(names)}", nearest(name, names))
        elif not _MARKING.fullmatch(marking):
            yield Doubt(path, f"{marking[:40]!r} is no marking", "a word without space, colon or comma")
        elif after[marking] > 1:
            yield Doubt(path, f"{marking} would then stand at two terminals", "each marking once")


def _ends(elements: Sequence[Element], names: Sequence[str]) -> Iterator[Doubt]:
    used = dict.fromkeys(getattr(element, name, None) for element in elements for name in _ENDS)
    known = set(names)
    unknown = [end for end in used if end is not None and end not in known and not end.startswith(".")]
    if unknown:
        yield Doubt((), f"its data use terminals that it has not: {_some(unknown)}", f"some of {_some(names)}")


def _some(names: Sequence[str]) -> str:
    return ", ".join(names[:24]) + (" …" if len(names) > 24 else "")
