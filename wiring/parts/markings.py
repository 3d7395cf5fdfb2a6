"""Whether the terminals of a part make sense together, beyond what its data say one by one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct

from wiring.parts.base import PartModel
from wiring.parts.contacts import split_pair
from wiring.parts.elements import Element
from wiring.plan.fault import nearest

_MARKING = re.compile(r"[^\s:,;.][^\s:,;]*")
_ENDS = ("a", "b", "plus", "minus", "terminal")
#: A way into the data of a part.
Path = tuple[str | int, ...]


class Doubt(Struct, frozen=True):
    """One thing that does not make sense: where in the part's data, what, and what was expected."""

    path: Path
    problem: str
    expected: str
    near: tuple[str, ...] = ()


def doubts(model: PartModel) -> Iterator[Doubt]:
    """Everything about a part that does not make sense. Elements are built of sound outputs only."""
    wrong = list(_relay_outputs(model))
    yield from wrong
    if wrong:
        return
    names = [point.name for point in model.points()]
    yield from _contacts(model)
    yield from _channels(model)
    yield from _safety_outputs(model)
    yield from _points(model, names)
    yield from _renamings(model.terminals, names)
    yield from _ends(model.elements(), names)


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
    """The output of a relay is a contact, so its name is a pair, and no other one stands between the same terminals."""
    outputs = getattr(model, "outputs", None)
    if not isinstance(outputs, Mapping):
        return
    pairs = [name for name, word in outputs.items() if word.split()[0] == "relay"]
    for name in pairs:
        if not _is_pair(name):
            path = ("outputs", name)
            yield Doubt(path, f"{name[:40]!r} is no pair of terminals", "both terminals of the relay, such as 13-14")
    yield from _same_ends("output", [(("outputs", name), name) for name in pairs if _is_pair(name)])


def _channels(model: PartModel) -> Iterator[Doubt]:
    """A channel of a safety relay has two terminals that no other channel has both of."""
    channels = getattr(model, "channels", ())
    if isinstance(channels, Sequence):
        pairs = [(("channels",), pair) for pair in channels]
        yield from _same_ends("channel", pairs)


def _same_ends(what: str, pairs: Sequence[tuple[Path, str]]) -> Iterator[Doubt]:
    """Pairs that join a terminal with itself, or the same two terminals as one before."""
    seen: dict[frozenset[str], str] = {}
    for path, pair in pairs:
        ends = frozenset(split_pair(pair))
        if len(ends) == 1:
            yield Doubt(path, f"{what} {pair} joins a terminal with itself", "two different terminals")
        elif ends in seen:
            yield Doubt(path, f"{what}s {seen[ends]} and {pair} stand between the same terminals", "one")
        seen.setdefault(ends, pair)


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
    relay: Any = model
    taken = {"A1", "A2", *(end for pair in (*relay.channels, relay.reset) for end in split_pair(pair))}
    for key in ("outputs", "auxiliary", "delayed"):
        for pair in getattr(relay, key):
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
