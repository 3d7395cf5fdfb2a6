"""Chosen sizes as edits of the plan."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from wiring.plan.edits import Edit, SetValue
from wiring.sizing.ladder import Key, Ladder, Sort
from wiring.sizing.records import Sizing

#: So many names are told of one change.
_NAMED = 8


def size_edits(sizing: Sizing, only: Collection[Key] | None = None) -> list[Edit]:
    """The edits that bring the plan to its new sizes, or those of some ladders."""
    return [edit for edit, _ in _edits(sizing, only)]


def size_words(sizing: Sizing, only: Collection[Key] | None = None) -> tuple[str, ...]:
    """Each change in words: "F2: 6 A in place of 4 A"."""
    grouped: dict[str, list[str]] = {}
    for _, (name, change) in _edits(sizing, only):
        names = grouped.setdefault(change, [])
        if name not in names:
            names.append(name)
    return tuple(f"{first_of(names)}: {change}" for change, names in grouped.items())


def first_of(names: Sequence[str]) -> str:
    """The first names of many, and how many more there are."""
    return ", ".join(names[:_NAMED]) + (f" and {len(names) - _NAMED} more" if len(names) > _NAMED else "")


def _edits(sizing: Sizing, only: Collection[Key] | None) -> Iterator[tuple[Edit, tuple[str, str]]]:
    typed: set[str] = set()
    for ladder in sizing.moved:
        if only is not None and ladder.key not in only:
            continue
        step = sizing.steps[ladder.key]
        change = f"{step.words} in place of {ladder.present.words}"
        if ladder.sort is not Sort.CONDUCTOR:
            yield from ((edit, (ladder.name, change)) for edit in step.edits)
        elif ladder.type and step.high == sizing.types[ladder.type].high:
            if ladder.type not in typed:
                typed.add(ladder.type)
                edit = SetValue(("wire_types", ladder.type, "size"), step.words)
                yield edit, (f"conductors of type {ladder.type}", change)
        else:
            yield SetValue(ladder.path, step.words), (ladder.name, change)
    yield from _kept(sizing, typed)


def _kept(sizing: Sizing, typed: Collection[str]) -> Iterator[tuple[Edit, tuple[str, str]]]:
    """Wires that keep the size which their type gives up."""
    for ladder in sizing.ladders.values():
        if ladder.type in typed and sizing.steps[ladder.key] is ladder.present:
            words = ladder.present.words
            yield SetValue(ladder.path, words), (ladder.name, f"{words}, which is no longer that of its type")


def is_of_type(sizing: Sizing, ladder: Ladder) -> bool:
    """Whether a wire has the size of its type."""
    return bool(ladder.type) and sizing.steps[ladder.key].high == sizing.types[ladder.type].high
