"""Every part of a plan, resolved: library data under the plan's own, validated by its kind, each fault in its place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial
from typing import Any

from msgspec.structs import replace

from wiring.parts.base import Part, PartModel, build_part
from wiring.parts.kinds import KIND_NAMES, kind_model
from wiring.parts.library_index import Entry, Library, load_library, unknown_kind
from wiring.parts.markings import Doubt, doubts
from wiring.plan.fault import Fault
from wiring.plan.models import PartEntry
from wiring.plan.read import Reading
from wiring.plan.source import Node, Place, Source
from wiring.plan.validate import validate

_NO_LIBRARY = Library()
#: The most terminals of a plan; more would fill the memory with what a few lines can ask for.
MOST_TERMINALS = 50_000
_NAME = re.compile(r"[^\s:,;]+")


def resolve_parts(reading: Reading, faults: list[Fault], sources: dict[str, Source] | None = None) -> dict[str, Part]:
    """The parts of a plan by name, in the order of the plan. What cannot be resolved is left out, with its faults.

    Parts are resolved as far as they can be read, also where the rest of the plan cannot. A part that is neither a
    kind nor a library part, or both, is a fault of the reading already. `sources` takes up the user's library files
    that were read, so that a report can show their lines.
    """
    library = load_library(reading, faults) if reading.node("library") or reading.node("prices") else _NO_LIBRARY
    if sources is not None:
        sources.update(library.sources)
    parts = {}
    terminals = 0
    for name, entry in reading.parts.items():
        if not _NAME.fullmatch(name):
            continue  # the reader has said so
        part = _Resolver(reading, library, name, entry, faults).part()
        if part is not None:
            parts[name] = part
            terminals += len(part.terminals)
        if terminals > MOST_TERMINALS:
            problem = f"with {name} the plan has more than {MOST_TERMINALS:,} terminals"
            faults.append(Fault(reading.place("parts", name), problem, "a machine has a few thousand at most"))
            break
    return parts


def _merged(plan: Mapping[str, Any], library: Mapping[str, Any]) -> dict[str, Any]:
    """The plan's data over those of the library; renamed terminals are taken from both, all else is replaced whole."""
    merged = {**library, **plan}
    ours, theirs = plan.get("terminals"), library.get("terminals")
    if isinstance(ours, dict) and isinstance(theirs, dict):
        merged["terminals"] = {**theirs, **ours}
    return merged


def unknown_part(library: Library, key: str, place: Place | None) -> Fault:
    """The fault for a library part that does not exist."""
    from wiring.parts.library_search import nearest_parts

    expected = "a key that `wiring library` lists, or one of a folder of your own named under `library`"
    return Fault(place, f"there is no library part {key[:60]!r}", expected, "", nearest_parts(library, key))


def _form(kind: str, key: str) -> str:
    """How a value of a key is written."""
    from wiring.parts.part_sheet import form_of

    return form_of(kind, key)


class _Resolver:
    """Resolves one part."""

    def __init__(self, reading: Reading, library: Library, name: str, entry: PartEntry, faults: list[Fault]) -> None:
        node = reading.node("parts", name)
        assert node is not None, "a part that was read has a place"
        self.name, self.entry, self.library, self.faults = name, entry, library, faults
        self.node: Node = node
        self.place: Place = reading.place("parts", name)

    def part(self) -> Part | None:
        found = self._library_entry() if self.entry.use is not None else None
        if self.entry.use is not None and found is None:
            return None
        kind = found.kind if found else self.entry.kind
        if kind not in KIND_NAMES:
            self.faults.append(unknown_kind(kind, self._value_place("kind")))
            return None
        data = _merged(self.entry.data, found.data if found else {})
        model = self._validated(kind_model(kind), data, (found.node,) if found else ())
        if model is None or self._doubted(model, found):
            return None
        return build_part(self.name, model, self.place, found.key if found else "")

    def _value_place(self, *path: str) -> Place:
        node, _ = self.node.follow(path)
        return node.place

    def _library_entry(self) -> Entry | None:
        key = self.entry.use or ""
        found = self.library.find(key)
        if found is None and key not in self.library.broken:
            self.faults.append(unknown_part(self.library, key, self._value_place("use")))
        return found

    def _validated(self, kind: type[PartModel], data: dict[str, Any], behind: tuple[Node, ...]) -> PartModel | None:
        found: list[Fault] = []
        model = validate(
            kind,
            self.node,
            found,
            data=data,
            behind=behind,
            known=("kind", "use"),
            forms=partial(_form, kind.kind_name),
        )
        self.faults += (self._named(fault) for fault in found)
        return model

    def _named(self, fault: Fault) -> Fault:
        """The fault with the part's name where the words speak of the whole."""
        for whole, words in (("the plan: ", f"{self.name}: "), ("this has no ", f"{self.name} has no ")):
            if fault.summary.startswith(whole):
                return replace(fault, summary=words + fault.summary.removeprefix(whole))
        return fault

    def _doubted(self, model: PartModel, found: Entry | None) -> bool:
        wrong = list(doubts(model))
        for doubt in wrong:
            summary = f"{self.name}: {doubt.problem}"
            self.faults.append(Fault(self._doubt_place(doubt, found), summary, doubt.expected, "", doubt.near))
        return bool(wrong)

    def _doubt_place(self, doubt: Doubt, found: Entry | None) -> Place:
        """The place of the value, in the plan before the library; the part's own place where no value is meant."""
        if doubt.path:
            for root in (self.node, found.node if found else self.node):
                above, depth = root.follow(doubt.path[:-1])
                if depth == len(doubt.path) - 1 and str(doubt.path[-1]) in above.keys:
                    return above.key_place(str(doubt.path[-1]))
        return self.place
