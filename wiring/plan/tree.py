"""YAML text into a tree of values that keep their place. Every plain scalar stays the text that was written."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from wiring.plan.fault import Fault
from wiring.plan.source import Node, Place, Source, Span
from wiring.plan.syntax import decode, read_bytes, shown_name, syntax_fault, unreadable

LARGEST_COUNT = 100_000
LARGEST_DEPTH = 50


def event_reader(text: str) -> Any:
    """Something with `get_event()` over the text: the C parser where PyYAML has it, else the one in Python."""
    if yaml.__with_libyaml__:
        from yaml.cyaml import CParser  # type: ignore[attr-defined]

        return CParser(text)
    return yaml.SafeLoader(text)


class _StopReadingError(Exception):
    """Reading cannot go on; the fault is recorded."""


class _Open(Struct):
    """A mapping or sequence that is being read."""

    node: Node
    anchor: str | None
    count_before: int
    height: int = 0
    key: Node | None = None


class _Anchored(Struct, frozen=True):
    node: Node
    count: int
    height: int


class _Builder:
    """Takes events one by one; `root` is the tree so far, `faults` what was wrong.

    `empty` are keys without a value, which count only where the text is sound as a whole.
    """

    def __init__(self, source: Source) -> None:
        self.source = source
        self.root: Node | None = None
        self.faults: list[Fault] = []
        self.empty: list[Fault] = []
        self._open: list[_Open] = []
        self._anchors: dict[str, _Anchored] = {}
        self._count = 0
        self._documents = 0
        self._actions: dict[type[Event], Any] = {
            ScalarEvent: self._scalar,
            AliasEvent: self._alias,
            MappingStartEvent: self._start_mapping,
            MappingEndEvent: self._end,
            SequenceStartEvent: self._start_sequence,
            SequenceEndEvent: self._end,
            DocumentStartEvent: self._document,
        }

    def take(self, event: Event) -> None:
        action = self._actions.get(type(event))
        if action:
            action(event)

    def _span(self, event: Any) -> Span:
        start, end = event.start_mark, event.end_mark
        line, column = start.line, start.column
        if line == end.line:
            length = end.column - column
        else:
            written = self.source.lines[line] if line < len(self.source.lines) else ""
            length = len(written.rstrip()) - column
        return line + 1, column + 1, length if length > 1 else 1

    def _opening(self, event: Any) -> Span:
        return event.start_mark.line + 1, event.start_mark.column + 1, 1

    def _fault(
        self, span: Span, summary: str, expected: str = "", mend: str = "", other: tuple[Place, ...] = ()
    ) -> None:
        self.faults.append(Fault(Place(self.source.file, *span), summary, expected, mend, (), other))

    def _document(self, event: Any) -> None:
        self._documents += 1
        if self._documents > 1:
            self._fault(
                self._opening(event), "a second document begins here", "a plan is one document", "remove the line ---"
            )
            raise _StopReadingError

    def _refuse_tag(self, event: Any) -> None:
        self._fault(self._opening(event), f"{event.tag!r} is a tag", "a plan has no tags", "write the value alone")

    def _grow(self, count: int, depth: int, span: Span) -> None:
        self._count += count
        if self._count > LARGEST_COUNT:
            problem = f"the plan has more than {LARGEST_COUNT:,} values"
            self._fault(span, problem, "aliases count as often as they are used")
            raise _StopReadingError
        if len(self._open) + depth > LARGEST_DEPTH:
            problem = f"values are nested more than {LARGEST_DEPTH} deep"
            self._fault(span, problem, "a plan is at most a few levels deep")
            raise _StopReadingError

    def _scalar(self, event: Any) -> None:
        span = self._span(event)
        if event.tag is not None:
            self._refuse_tag(event)
        self._grow(1, 1, span)
        text = event.value
        node = Node(self.source.file, text if text or not event.implicit[0] else None, span)
        if event.anchor is not None:
            self._anchors[event.anchor] = _Anchored(node, 1, 1)
        self._put(node, 1)

    def _alias(self, event: Any) -> None:
        span = self._span(event)
        found = self._anchors.get(event.anchor)
        if found is None:
            problem = f"*{event.anchor} refers to nothing that is complete before it"
            self._fault(span, problem, f"an anchor &{event.anchor} at an earlier value")
            raise _StopReadingError
        self._grow(found.count, found.height, span)
        node = found.node
        self._put(Node(node.file, node.data, span, node.children, node.keys), found.height)

    def _start_mapping(self, event: Any) -> None:
        self._start(event, Node(self.source.file, {}, self._opening(event), {}))

    def _start_sequence(self, event: Any) -> None:
        self._start(event, Node(self.source.file, [], self._opening(event), []))

    def _start(self, event: Any, node: Node) -> None:
        if event.tag is not None:
            self._refuse_tag(event)
        self._open.append(_Open(node, event.anchor, self._count))
        self._grow(1, 0, node.span)

    def _end(self, _: Any) -> None:
        closed = self._open.pop()
        height = closed.height + 1
        if closed.anchor is not None:
            self._anchors[closed.anchor] = _Anchored(closed.node, self._count - closed.count_before, height)
        self._put(closed.node, height)

    def _put(self, node: Node, height: int) -> None:
        if not self._open:
            self.root = node
            return
        top = self._open[-1]
        if height > top.height:
            top.height = height
        children = top.node.children
        if isinstance(children, list):
            children.append(node)
            top.node.data.append(node.data)
        elif top.key is None:
            top.key = node
        else:
            key, top.key = top.key, None
            self._put_entry(top.node, key, node)

    def _put_entry(self, mapping: Node, key: Node, value: Node) -> None:
        name = key.data
        if not isinstance(name, str) or name == "<<" or name in mapping.keys:
            self._refuse_key(mapping, key)
            return
        if value.data is None:
            if before := self._split_number(mapping, key):
                mend = "write a decimal point, or put the text in quotes"
                self._join(mapping, before, key, ".", mend)
                return
            if before := self._split_text(mapping, key):
                self._join(mapping, before, key, ", ", f"put the text in quotes, or give `{name}` a value")
                return
            place = Place(self.source.file, *key.span)
            self.empty.append(Fault(place, f"`{name}` has no value", "a value, or the key left out"))
        mapping.keys[name] = key.span
        mapping.data[name] = value.data
        mapping.children[name] = value  # type: ignore[index, call-overload]

    def _refuse_key(self, mapping: Node, key: Node) -> None:
        name = key.data
        if name == "<<":
            self._fault(key.span, "'<<' does not merge anything in a plan", "defaults of wires stand in wire_types")
        elif isinstance(name, str):
            first = mapping.key_place(name)
            mend = f"keep one; the first is in line {first.line}"
            self._fault(key.span, f"{name!r} is given twice", "every key stands once", mend, (first,))
        else:
            problem = "a key is missing here" if name is None else "a key cannot be a list or a mapping"
            self._fault(key.span, problem, "a key is one word or text before a colon")

    def _join(self, mapping: Node, before: Node, rest: Node, by: str, mend: str) -> None:
        joined = f"{before.data}{by}{rest.data}"
        before.data = mapping.data[next(reversed(mapping.data))] = joined
        line, column, length = before.span
        if line == rest.span[0]:
            length = rest.span[1] + rest.span[2] - column
        before.span = (line, column, length)
        written = joined if by == "." else f'"{joined}"'
        self._fault(before.span, "the comma cuts this value in two", f"for example {written}", mend)

    def _split_text(self, mapping: Node, key: Node) -> Node | None:
        """The text before a key without a colon, which is what follows a comma in it: `{title: red, yellow}`."""
        if not isinstance(mapping.children, dict) or not mapping.children:
            return None
        before = next(reversed(mapping.children.values()))
        line, column, length = key.span
        behind = self.source.lines[line - 1][column - 1 + length :].lstrip()
        return before if isinstance(before.data, str) and behind[:1] in {",", "}"} else None

    @staticmethod
    def _split_number(mapping: Node, key: Node) -> Node | None:
        """The value before a key that is really what follows a decimal comma: `{size: 2,5 mm2}`."""
        if not isinstance(mapping.children, dict) or not mapping.children or not key.data[:1].isdigit():
            return None
        before = next(reversed(mapping.children.values()))
        line, column, length = before.span
        touching = (line, column + length + 1) == key.span[:2]
        return before if touching and isinstance(before.data, str) and before.data[-1:].isdigit() else None


def load_tree(path: Path) -> tuple[Source | None, Node | None, list[Fault]]:
    """Source and tree of a YAML file, None where it cannot be had, and every fault of its form."""
    data = read_bytes(path)
    if isinstance(data, Fault):
        return None, None, [data]
    name = shown_name(path)
    text = decode(name, data)
    if isinstance(text, Fault):
        return None, None, [text]
    source = Source.of(name, text)
    return source, *read_tree(source, text)


def read_tree(source: Source, text: str) -> tuple[Node | None, list[Fault]]:
    """The tree of a YAML text, None where nothing could be made of it, and every fault of its form."""
    fault = unreadable(source.file, text)
    if fault:
        return None, [fault]
    builder = _Builder(source)
    try:
        reader = event_reader(text)
        while type(event := reader.get_event()) is not StreamEndEvent:
            builder.take(event)
    except _StopReadingError:
        return None, builder.faults
    except yaml.YAMLError as error:
        return None, [*builder.faults, syntax_fault(error, source)]
    if builder.root is None:
        place = Place(source.file, 1, 1)
        return None, [Fault(place, "the file has nothing in it", "a plan begins with `format: 1`")]
    return builder.root, builder.faults + builder.empty
