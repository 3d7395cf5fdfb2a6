"""What all decisions share: the description, the draft, the parts that the library has, and how things are called."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

from msgspec import Struct, field

from wiring.describe.description import Description
from wiring.describe.draft import Draft, End, Row, Slot
from wiring.describe.trade import BOOKS, ROUTES, Book, length_text, wire_type, with_return
from wiring.parts.base import PartModel
from wiring.parts.kinds import kind_model
from wiring.parts.library_index import packaged_entry, packaged_index
from wiring.parts.price import Price, cheapest
from wiring.plan.source import Node

if TYPE_CHECKING:
    from wiring.describe.axes import Motion
    from wiring.describe.locks import Lock
    from wiring.parts.drives import Drive

M = TypeVar("M", bound=PartModel)
#: A cabinet of which no size is given [m].
_USUAL_BOX = (0.6, 0.8)
#: So many motors and loads make a small machine.
_FEW = 3


class Refused(Exception):  # noqa: N818 - the description is refused, nothing has failed
    """What the description asks for and cannot have: the requirement, and what caps it."""

    def __init__(self, asked: str, cap: str, mend: str, path: tuple[str, ...] = ()) -> None:
        super().__init__(f"{asked}; {cap}")
        self.asked, self.cap, self.mend, self.path = asked, cap, mend, path


class Consumer(Struct, frozen=True):
    """What hangs on a contact of the stop relay: its end, what that is, and the way back where it has one."""

    end: End
    title: str
    back: End | None = None


class Driven(Struct, frozen=True):
    """A drive with its motor, as they are called and as their data say."""

    drive: str
    motor: str
    motion: Motion
    model: Drive


class Build(Struct):
    """One plan in the making.

    `inputs` and `outputs` are what the controller reads and switches at 24 V, `unnamed` how many of these outputs
    the description does not name; `drives` every drive with its motor;
    `trunk` the chain of the 24 V rail; `channels` what hangs on the two contacts of the stop relay, `third` on its
    third, which is fed through the first; `mirrors` the contactors whose mirror contacts the reset passes;
    `worked` the switches that stand worked in every state, `pressed` the button that has started a load; `motion` the
    chain of a battery behind the contactors; `supplies` those that are bought and not used yet, with their voltage;
    `rails` the chain and the way back of each supply of the process, by its voltage; `valves` and `relays` those of
    each load that is a valve, `locks` what feeds the relay, and `resting` the chain that it feeds while it is off.
    """

    description: Description
    tree: Node
    draft: Draft
    inputs: list[str] = field(default_factory=list)
    outputs: list[str] = field(default_factory=list)
    unnamed: int = 0
    drives: list[Driven] = field(default_factory=list)
    trunk: list[End] = field(default_factory=list)
    channels: tuple[list[Consumer], list[Consumer]] = field(default_factory=lambda: ([], []))
    third: list[Consumer] = field(default_factory=list)
    mirrors: list[str] = field(default_factory=list)
    loads: dict[str, tuple[str, object]] = field(default_factory=dict)
    followers: dict[str, str] = field(default_factory=dict)
    worked: list[str] = field(default_factory=list)
    pressed: dict[str, str] = field(default_factory=dict)
    motion: list[End] = field(default_factory=list)
    supplies: dict[str, tuple[Mapping[str, Any], float]] = field(default_factory=dict)
    valves: dict[str, str] = field(default_factory=dict)
    locks: Mapping[str, Lock] = field(default_factory=dict)
    relays: dict[str, str] = field(default_factory=dict)
    resting: dict[str, list[End]] = field(default_factory=dict)
    rails: dict[float, tuple[list[End], Row]] = field(default_factory=dict)

    @property
    def rulebook(self) -> str:
        return self.description.rulebook

    @property
    def book(self) -> Book:
        return BOOKS[self.rulebook]

    @property
    def box(self) -> tuple[float, float]:
        """Width and height of the cabinet [m]."""
        chosen, size = self.draft.chosen.box, self.description.cabinet.size
        if chosen is not None:
            return chosen.width / 1000.0, chosen.height / 1000.0
        return (size.width, size.height) if size else _USUAL_BOX

    def raw(self, *path: str) -> Any:
        """What the description says there, as it is written; None where it says nothing."""
        node, depth = self.tree.follow(path)
        return node.data if depth == len(path) else None

    def type(self, name: str, *, back: bool = False) -> str:
        """The name of a wire type, which is declared where it was not yet; with `back` that of the way back."""
        found = with_return(name, self.rulebook) if back else name
        if found not in self.draft.types:
            data = wire_type(found, self.rulebook, self.draft.chosen.types.get(found), self.box)
            self.draft.types[found] = data
            self.route(str(data.get("route", "")))
        return found

    def route(self, name: str) -> str:
        """The name of a route, which is declared where it was not yet."""
        if name and name not in self.draft.routes:
            self.draft.routes[name] = ROUTES[name]
        return name

    @property
    def small(self) -> bool:
        """Whether so little is in the cabinet that the controls share a fuse and the shields a bar with the earths."""
        motors = sum(axis.count or 1 for axis in self.description.axes.values())
        return motors + len(self.description.loads) <= _FEW

    def shield(self) -> Slot:
        """A place for the shield of a cable: on a bar of its own, or on the earth bar of a small cabinet."""
        return self.draft.row(*(("XPE", "earth bar") if self.small else ("XSH", "shield clamp bar"))).take()

    def length(self, metres: float) -> str:
        return length_text(metres, self.rulebook)

    def cable_m(self, own: float | None) -> float:
        """The length of a cable [m]: its own, or the way from the cabinet to the machine."""
        return own if own is not None else self.description.cabinet.distance


@cache
def model_of(key: str) -> PartModel | None:
    """A part of the library as its model, None where there is none."""
    entry = packaged_entry(key)
    return kind_model(entry.kind).model_validate(dict(entry.data)) if entry else None


@cache
def library_of(kind: type[M]) -> Mapping[str, M]:
    """All generic parts of a kind, by key."""
    return dict(_of_kind(kind))


def _of_kind(kind: type[M]) -> Iterator[tuple[str, M]]:
    for key in sorted(packaged_index()):
        entry = packaged_entry(key)
        if entry is not None and entry.kind == kind.kind_name:
            found = model_of(key)
            if isinstance(found, kind):
                yield key, found


def least(fits: Iterable[tuple[float, str, M]], prices: Mapping[str, str]) -> tuple[str, M] | None:
    """Of the parts that fit, each with its size and key, the cheapest where prices are known, else the smallest."""
    rising = sorted(fits, key=lambda one: one[:2])
    found = cheapest(rising, lambda one: Price.read(prices.get(one[1], "")))
    return found[1:] if found else None


def part_words(words: str | Mapping[str, Any], **more: object) -> dict[str, object]:
    """The entry of a part by its key in the library, or as its data are given, with what differs."""
    first = {"use": words} if isinstance(words, str) else dict(words)
    return {**first, **{key: value for key, value in more.items() if value is not None}}


def own_words(words: str | Mapping[str, Any], key: str) -> Any:
    """What a part says under a key, as its label or the library has it; None where neither says it."""
    if isinstance(words, str):
        entry = packaged_entry(words)
        return entry.data.get(key) if entry else None
    return words[key] if key in words else own_words(str(words.get("use", "")), key)


def own_model(words: str | Mapping[str, Any]) -> PartModel | None:
    """The model of a part that the description gives by key or data; None where there is none such."""
    if isinstance(words, str):
        return model_of(words)
    if "use" in words:
        entry = packaged_entry(str(words["use"]))
        kind, data = (entry.kind, dict(entry.data)) if entry else ("", {})
    else:
        kind, data = str(words.get("kind", "")), {}
    data |= {key: value for key, value in words.items() if key not in ("kind", "use")}
    return kind_model(kind).model_validate(data) if kind else None
