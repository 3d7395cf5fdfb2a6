"""Library parts by their key: the generic ones that come with the package, and the user's own beside the plan.

A library file is a mapping of keys, each a part with its `kind`, its data, a `standing` and a `source`. A key with
names in braces is a family, see `families`. A generic file is opened only when a plan uses a part of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from wiring.parts.families import Member, axes_in, family, keys_of
from wiring.parts.kinds import KIND_NAMES
from wiring.parts.price import Price
from wiring.plan.fault import Fault, listed, nearest
from wiring.plan.read import Reading
from wiring.plan.source import Node, Place, Source
from wiring.plan.tree import load_tree

PACKAGED = Path(__file__).parent / "library"
STANDINGS = ("typical", "data sheet")
_KEY = re.compile(r"^([^\s#:][^\s:]*):(.*(?:\n(?![^\s#]).*)*)", re.MULTILINE)
_ABOUT_THE_ENTRY = ("kind", "standing", "source")
_PRICED = "a key that `wiring library` lists, or one of your own library"
_STANDING_EXPECTED = "`standing: typical` or `standing: data sheet`, and a `source` in one sentence"


class Entry(Struct, frozen=True):
    """One library part: its data as written, and where they come from. `place` is that of its key."""

    key: str
    kind: str
    data: Mapping[str, Any]
    standing: str
    source: str
    node: Node
    place: Place


class Library(Struct, frozen=True):
    """All library parts of one plan. `own` win; `broken` are keys whose fault is known; `sources` the user's files;
    `prices` those that the plan gives, by key, before the one that an entry has."""

    own: Mapping[str, Entry] = field(default_factory=dict)
    broken: frozenset[str] = frozenset()
    sources: Mapping[str, Source] = field(default_factory=dict)
    prices: Mapping[str, str] = field(default_factory=dict)

    def find(self, key: str) -> Entry | None:
        """The part of that key, None where there is none or its own entry is broken."""
        found = None if key in self.broken else self.own.get(key) or packaged_entry(key)
        if found is None or key not in self.prices:
            return found
        return replace(found, data={**found.data, "price": self.prices[key]})

    def names(self) -> list[str]:
        """Every key, in order."""
        return sorted({*self.own, *packaged_index()})


@cache
def packaged_index() -> Mapping[str, Path]:
    """The file of every generic part, read off the beginnings of their lines."""
    return {
        key: path
        for path in sorted(PACKAGED.glob("*.yaml"))
        for name, body in _KEY.findall(path.read_text(encoding="utf-8"))
        for key in keys_of(name, axes_in(name, body))
    }


@cache
def _packaged_file(path: Path) -> Mapping[str, Entry]:
    faults: list[Fault] = []
    _, tree, found = load_tree(path)
    entries = {entry.key: entry for entry in _entries(tree, faults)} if tree else {}
    if found or faults:
        raise ValueError("\n".join(str(fault) for fault in [*found, *faults]))
    return entries


def packaged_entry(key: str) -> Entry | None:
    """The generic part of that key, None where there is none."""
    path = packaged_index().get(key)
    return _packaged_file(path)[key] if path else None


def _entries(tree: Node, faults: list[Fault]) -> Iterator[Entry]:
    if not isinstance(tree.data, dict):
        faults.append(Fault(tree.place, "this is no list of parts", "`key: {kind: ..., standing: ..., source: ...}`"))
        return
    for key, node in tree.entries():
        place = tree.key_place(key)
        members = family(key, node, place)
        found = list(members) if members and isinstance(members[0], Fault) else list(_entry_faults(key, node, place))
        faults += [fault for fault in found if isinstance(fault, Fault)]
        for member in () if found else members:
            assert isinstance(member, Member)
            data = {name: value for name, value in member.data.items() if name not in _ABOUT_THE_ENTRY}
            about = member.data
            yield Entry(member.key, about["kind"], data, about["standing"], about["source"], node, place)


def _entry_faults(key: str, node: Node, place: Place) -> Iterator[Fault]:
    if re.search(r"[\s:]", key):
        yield Fault(place, f"{key[:60]!r} is no key of a library part", "letters, digits, points and hyphens")
    if not isinstance(node.data, dict):
        yield Fault(place, f"{key[:60]} is no library part", "`{kind: ..., standing: ..., source: ...}` with its data")
        return
    if "use" in node.data:
        yield Fault(node.key_place("use"), f"{key[:60]} uses another library part", "its own `kind` and data")
    else:
        yield from _kind_faults(key, node, place)
    yield from _standing_faults(key, node, place)


def _kind_faults(key: str, node: Node, place: Place) -> Iterator[Fault]:
    kind = node.data.get("kind")
    if kind is None:
        yield Fault(place, f"{key[:60]} has no `kind`", "`kind: ...`")
    elif kind not in KIND_NAMES:
        yield unknown_kind(kind, node.children["kind"].place)  # type: ignore[index, call-overload]


def _standing_faults(key: str, node: Node, place: Place) -> Iterator[Fault]:
    standing, source = node.data.get("standing"), node.data.get("source")
    if standing is None:
        yield Fault(place, f"{key[:60]} does not say how far its values can be trusted", _STANDING_EXPECTED)
    elif standing not in STANDINGS:
        at = node.children["standing"].place  # type: ignore[index, call-overload]
        near = nearest(standing, STANDINGS) if isinstance(standing, str) else ()
        yield Fault(at, f"{str(standing)[:40]!r} is no standing", listed(STANDINGS), "", near)
    if not isinstance(source, str) or not source.strip():
        yield Fault(place, f"{key[:60]} does not say where its values are from", "`source: ...` in one sentence")


def unknown_kind(kind: object, place: Place) -> Fault:
    """The fault for a kind of part that does not exist."""
    if not isinstance(kind, str):
        return Fault(place, "`kind` is no single word", "one of the kinds of part, such as supply")
    from wiring.parts.library_search import nearest_kinds

    expected = f"one of the {len(KIND_NAMES)} kinds that `wiring library` lists"
    return Fault(place, f"there is no kind of part {kind[:60]!r}", expected, "", nearest_kinds(kind))


class _OwnFolders:
    """Gathers the user's own entries file by file."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = faults
        self.entries: dict[str, Entry] = {}
        self.broken: set[str] = set()
        self.sources: dict[str, Source] = {}

    def library(self) -> Library:
        """All that was gathered."""
        return Library(self.entries, frozenset(self.broken), self.sources)

    def take_folder(self, folder: Path, place: Place) -> None:
        if not folder.is_dir():
            self.faults.append(
                Fault(place, f"there is no folder {str(folder)!r}", "a folder of library files beside the plan")
            )
            return
        try:
            files = sorted(path for path in folder.iterdir() if path.suffix in (".yaml", ".yml"))
        except OSError as error:
            self.faults.append(Fault(place, f"{str(folder)!r} cannot be read: {error.strerror}", "a folder to read"))
            return
        if not files:
            self.faults.append(Fault(place, f"{str(folder)!r} holds no library file", "files that end in .yaml"))
        for path in files:
            self._take_file(path)

    def _take_file(self, path: Path) -> None:
        source, tree, found = load_tree(path)
        self.faults += found
        if source is None or source.file in self.sources:
            return
        self.sources[source.file] = replace(source, tree=tree)
        if tree is None:
            return
        good = {entry.key: entry for entry in _entries(tree, self.faults)}
        families = {entry.place for entry in good.values()}
        self.broken |= {key for key in tree.keys if key not in self.entries and tree.key_place(key) not in families}
        for key, entry in good.items():
            first = self.entries.get(key)
            if first is not None:
                self._twice(key, entry.place, first.place)
            else:
                self.entries[key] = entry
        for key in tree.keys:
            if key in self.entries and key not in good:
                self._twice(key, tree.key_place(key), self.entries[key].place)

    def _twice(self, key: str, place: Place, first: Place) -> None:
        summary = f"the library part {key!r} is given twice"
        mend = f"keep one; the first is at {first}"
        self.faults.append(Fault(place, summary, "every key stands once in your library", mend, (), (first,)))


def load_library(reading: Reading, faults: list[Fault]) -> Library:
    """The library of a plan: the folders that it names under `library`, the generic parts behind them, its prices."""
    folders, prices = reading.node("library"), reading.node("prices")
    own = _OwnFolders(faults)
    for node in folders.texts() if folders else ():
        own.take_folder(reading.folder / node.data, node.place)
    library = own.library()
    if prices is None:
        return library
    faults += price_faults(prices, library)
    return replace(library, prices=dict(reading.plan.prices) if reading.plan else {})


def price_faults(prices: Node, library: Library) -> Iterator[Fault]:
    """What is no price of a part of the library, and prices that cannot be compared."""
    from wiring.parts.library_search import nearest_parts

    currencies = set()
    for key, node in prices.entries() if isinstance(prices.data, dict) else ():
        if library.find(key) is None and key not in library.broken:
            near = nearest_parts(library, key)
            yield Fault(prices.key_place(key), f"there is no library part {key[:60]!r}", _PRICED, "", near)
        price = Price.read(str(node.data))
        if price is None:
            yield Fault(node.place, f"{str(node.data)[:40]!r} is no price", "an amount, such as `12.50 EUR` or `12.50`")
        else:
            currencies.add(price.currency)
    if len(currencies) > 1:
        said = f"these prices are in {' and '.join(sorted(one or 'no currency' for one in currencies))}"
        yield Fault(prices.place, said, "one currency for all of them, as they are compared")


def library_of_folder(folder: Path, faults: list[Fault]) -> Library:
    """The parts of one folder of library files, and the generic parts behind them."""
    own = _OwnFolders(faults)
    own.take_folder(folder, Place(str(folder), 1, 1))
    return own.library()
