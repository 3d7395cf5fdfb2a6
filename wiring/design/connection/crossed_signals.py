"""Signals and motor phases that lead to a place of another meaning: what both ends say of themselves differs.

What a terminal means is its function in the plan, or what the trade marks on it: A, B and Z of an encoder, STEP, DIR
and ENA of a pulse input, U, V, W or A+ … B- of a motor.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import combinations

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Function
from wiring.parts.motors import Shaft
from wiring.parts.signals import Encoder, IoCard

_CHANNELS = ("A", "B", "Z")
#: What the trade marks on pulse inputs, by how the marking begins (common practice).
_MARKED = {"STEP": "step", "PUL": "step", "DIR": "direction", "ENA": "enable"}
_PULSES = ("step", "direction", "enable")
_COMMANDS = ("run", "reverse")


class Crossed(Struct, frozen=True):
    """A terminal that gives `means` and is led to one that takes `wants`."""

    gives: Node
    takes: Node
    means: str
    wants: str


def crossed_channels(design: Design) -> Iterator[Crossed]:
    """Channels of an encoder that are led to an input for another channel."""
    given = {node: letter for part in design.parts.values() for node, letter in _channels(part, gives=True)}
    taken = {node: letter for part in design.parts.values() for node, letter in _channels(part, gives=False)}
    return _differing(design, given, taken)


def _channels(part: Part, *, gives: bool) -> Iterator[tuple[Node, str]]:
    """The channel terminals of an encoder, or those of what reads one, with their letters."""
    data = part.data
    names: dict[str, str] = {}
    if isinstance(data, Encoder) and gives:
        names = {name: name for name in data.signals}
    elif isinstance(data, Shaft | Drive) and data.encoder and gives == isinstance(data, Shaft):
        names = {name: name for name in data.encoder.signals}
    elif isinstance(data, IoCard) and not gives:
        names = {name: word.removeprefix("encoder ") for name, word in data.functions.items() if "encoder " in word}
    for name, mark in names.items():
        letter = mark.rstrip("+-/")[-1:].upper()
        if letter in _CHANNELS:
            yield (part.name, data.terminals.get(name, name)), letter


def _differing(design: Design, given: Mapping[Node, str], taken: Mapping[Node, str]) -> Iterator[Crossed]:
    for take, wants in taken.items():
        for give in design.nets.members[design.nets.of[take]] if take in design.nets.joined else ():
            if give in given and given[give] != wants:
                yield Crossed(give, take, given[give], wants)


class Foreign(Struct, frozen=True):
    """A drive that reads the encoder of `motor` and feeds other motors."""

    drive: str
    motor: str
    feeds: tuple[str, ...]
    nodes: tuple[Node, ...]


def foreign_encoders(design: Design) -> Iterator[Foreign]:
    """Drives that read the encoder of a motor that they do not feed."""
    for axis in design.axes.values():
        data, own = axis.drive.data, {motor.name for motor in axis.motors}
        if not isinstance(data, Drive) or data.encoder is None or not own:
            continue
        read: dict[str, list[Node]] = {}
        for take, _ in _channels(axis.drive, gives=False):
            for node in design.nets.members[design.nets.of[take]]:
                part = design.parts.get(node[0])
                if part is not None and isinstance(part.data, Shaft) and part.name not in own:
                    read.setdefault(part.name, []).append(take)
        for motor, nodes in read.items():
            yield Foreign(axis.drive.name, motor, tuple(sorted(own)), tuple(nodes))


def crossed_phases(design: Design) -> Iterator[Crossed]:
    """Phases of a motor with an encoder at another one of its drive: what it turns and what it reads differ."""
    for axis in design.axes.values():
        outs = [t.name for t in axis.drive.terminals.values() if t.function is Function.MOTOR]
        for motor in axis.motors:
            ins = [t.name for t in motor.terminals.values() if t.function is Function.MOTOR]
            if not (isinstance(motor.data, Shaft) and motor.data.encoder and sorted(ins) == sorted(outs)):
                continue
            phases = {(motor.name, name): name for name in ins}
            yield from _differing(design, {(axis.drive.name, name): name for name in outs}, phases)


def crossed_pulses(design: Design) -> Iterator[Crossed]:
    """Outputs of a card whose function is not that of the drive's input that they lead to."""
    given = {
        (part.name, part.data.terminals.get(name, name)): word
        for part in design.parts.values()
        if isinstance(part.data, IoCard)
        for name, word in part.data.functions.items()
        if word in _PULSES and name in part.data.outputs
    }
    taken = {node: word for part in design.parts.values() for node, word in _pulse_inputs(part)}
    return _differing(design, given, taken)


def _pulse_inputs(part: Part) -> Iterator[tuple[Node, str]]:
    data = part.data
    if not isinstance(data, Drive):
        return
    for name in part.terminals:
        word: str = data.functions.get(name, "") or next(
            (w for mark, w in _MARKED.items() if name.upper().startswith(mark)), ""
        )
        if word in _PULSES and not name.endswith("-"):
            yield (part.name, name), word


class Opposed(Struct, frozen=True):
    """Two inputs of a drive that one conductor works, with what each is for."""

    drive: str
    first: str
    second: str
    words: tuple[str, str]


def opposed_inputs(design: Design) -> Iterator[Opposed]:
    """Drives that one conductor tells to run and to reverse, or to run and to take back their faults."""
    for part in design.parts.values():
        words = _inputs(part, (*_COMMANDS, "enable", "reset"))
        for a, b in combinations(words, 2):
            met = a in design.nets.joined and design.nets.of[a] == design.nets.of[b]
            told = {words[a], words[b]}
            if met and len(told) == 2 and ("reset" in told or told == set(_COMMANDS)):
                first, second = sorted((a, b), key=lambda node: (words[node] in ("reset", "reverse"), node))
                yield Opposed(part.name, first[1], second[1], (words[first], words[second]))


def _inputs(part: Part, sorts: Collection[str]) -> dict[Node, str]:
    """The inputs of a drive that are for some things."""
    data = part.data
    if not isinstance(data, Drive):
        return {}
    words = {(part.name, data.terminals.get(name, name)): word for name, word in data.functions.items()}
    return {node: word for node, word in words.items() if word in sorts}


def crossed_commands(design: Design) -> Iterator[Crossed]:
    """Inputs that tell a drive to run and hang on an output for something else, where another output of that card is
    said to tell a drive to run and leads to none."""
    taken = {node: word for part in design.parts.values() for node, word in _inputs(part, _COMMANDS).items()}
    nets = {design.nets.of[node] for node in taken}
    for card in design.parts.values():
        if not isinstance(card.data, IoCard):
            continue
        given = {(card.name, card.data.terminals.get(name, name)): word for name, word in card.data.functions.items()}
        given = {node: word for node, word in given.items() if node[1] in card.data.outputs or word in _COMMANDS}
        if any(word in _COMMANDS and design.nets.of[node] not in nets for node, word in given.items()):
            yield from _differing(design, {node: word for node, word in given.items() if word not in _COMMANDS}, taken)


class Mixed(Struct, frozen=True):
    """A drive that gets the pulses of two axes of one card: `numbers` by the output that gives each."""

    drive: str
    numbers: tuple[tuple[Node, str], ...]


def mixed_axes(design: Design) -> Iterator[Mixed]:
    """Drives whose pulses come from two axes of a card that numbers all of its axes alike (STEP1, DIR1, ENA1 …)."""
    for card in design.parts.values():
        numbers = _axis_numbers(card) if isinstance(card.data, IoCard) else {}
        by_drive: dict[str, dict[Node, str]] = {}
        for node, number in numbers.items():
            for far in design.nets.members[design.nets.of[node]]:
                if far[0] in design.parts and isinstance(design.parts[far[0]].data, Drive):
                    by_drive.setdefault(far[0], {})[node] = number
        mixed = {drive: found for drive, found in by_drive.items() if len(set(found.values())) > 1}
        # one number at two drives: a second motor that follows the same steps shares all of its axis
        for drive, found in mixed.items():
            yield Mixed(drive, tuple(sorted(found.items(), key=lambda row: (row[1], row[0]))))


def _axis_numbers(card: Part) -> dict[Node, str]:
    """The outputs for pulses with the number at the end of their names; nothing where a number lacks a function that
    another one has, for then the card does not number its axes."""
    data = card.data
    assert isinstance(data, IoCard)
    kinds: dict[str, dict[str, str]] = {}
    for name in data.outputs:
        word = data.functions.get(name, "")
        digits = name[len(name.rstrip("0123456789")) :]
        if word in _PULSES and digits:
            kinds.setdefault(word, {})[digits] = name
    if len(kinds) < 2 or any(one.keys() != other.keys() for one, other in combinations(kinds.values(), 2)):
        return {}
    return {
        (card.name, data.terminals.get(name, name)): digits for one in kinds.values() for digits, name in one.items()
    }
