"""Wires and cables of two plans side by side: what is taken off, put on, moved, replaced or relabelled."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from wiring.changes.rebuild import Action, Step, in_place_of
from wiring.changes.rebuild_parts import Matched
from wiring.circuit.model import Conductor, Node, named
from wiring.design.design import Design
from wiring.plan.conductors import Cable
from wiring.wording import natural

_Build = tuple[str, ...]
#: What of a cable is no property of the cable that is bought: its name, ends, words, and where it lies.
_NOT_BOUGHT = {"cable", "join", "title", "shield", "type", "length", "route", "labels"}


def wire_pairs(old: Design, new: Design, match: Matched) -> list[tuple[Conductor | None, Conductor | None]]:
    """Each piece of wire of either plan with the one that it is in the other."""
    before = [one for one in old.circuit.conductors if one.kind == "wire"]
    after = [one for one in new.circuit.conductors if one.kind == "wire"]
    return list(_pairs(before, after, match))


def wire_steps(old: Design, new: Design, match: Matched) -> Iterator[Step]:
    """Everything that is done to single wires, in the natural order of their numbers."""
    for gone, come in wire_pairs(old, new, match):
        if gone is None and come is not None:
            yield Step(Action.PUT_ON, "wire", come.id, f"{come.number}: {_way(come.ends)}{_bracketed(_build(come))}")
        elif come is None and gone is not None:
            yield Step(Action.TAKE_OFF, "wire", gone.id, f"{gone.number}: {_way(gone.ends)}")
        elif gone is not None and come is not None:
            yield from _kept(gone, come, match)


def _pairs(
    before: Sequence[Conductor], after: Sequence[Conductor], match: Matched
) -> Iterator[tuple[Conductor | None, Conductor | None]]:
    """Each old wire with what it becomes: the same number at the same ends, then at one of them, then the same piece,
    then the same wire under another number; None where there is none."""
    left, come = sorted(before, key=_order), sorted(after, key=_order)
    for fits in (_same_way, _one_end, _same_piece, _other_number):
        for gone in tuple(left):
            found = next((one for one in come if fits(gone, one, match)), None)
            if found is not None:
                left.remove(gone)
                come.remove(found)
                yield gone, found
    yield from ((gone, None) for gone in left)
    yield from ((None, one) for one in come)


def _order(one: Conductor) -> Any:
    return natural(one.id)


def _ends(one: Conductor, match: Matched) -> set[Node]:
    return {match.node(end) for end in one.ends}


def _same_way(gone: Conductor, come: Conductor, match: Matched) -> bool:
    return gone.number == come.number and _ends(gone, match) == set(come.ends)


def _one_end(gone: Conductor, come: Conductor, match: Matched) -> bool:
    return gone.number == come.number and bool(_ends(gone, match) & set(come.ends))


def _same_piece(gone: Conductor, come: Conductor, match: Matched) -> bool:
    return gone.id == come.id


def _other_number(gone: Conductor, come: Conductor, match: Matched) -> bool:
    return _ends(gone, match) == set(come.ends) and _build(gone) == _build(come)


def _build(one: Conductor) -> _Build:
    """What it is bought by: size, colour, insulation."""
    size = one.size.text if one.size else ""
    return tuple(filter(None, (size, one.colour or "", one.insulation or "")))


def _bracketed(build: _Build) -> str:
    return f" ({', '.join(build)})" if build else ""


def _way(ends: Sequence[Node]) -> str:
    return " to ".join(map(named, ends))


def _kept(gone: Conductor, come: Conductor, match: Matched) -> Iterator[Step]:
    moved = _moved(gone, come, match)
    if _build(gone) != _build(come):
        told = in_place_of(" ".join(_build(come)), " ".join(_build(gone)))
        lead = f"; lead it {_way(come.ends)}" if moved else ""
        yield Step(Action.REPLACE, "wire", come.id, f"{come.number} ({_way(gone.ends)}): {told}{lead}")
    elif _longer(gone, come):
        told = in_place_of(f"{come.length_m:.3g} m", f"{gone.length_m:.3g} m")
        yield Step(Action.REPLACE, "wire", come.id, f"{come.number} ({_way(come.ends)}): {told}, cut anew")
    elif moved:
        yield Step(Action.MOVE, "wire", come.id, f"{come.number}: {moved}")
    if gone.route != come.route:
        told = in_place_of(f"through {come.route or 'no route'}", gone.route or "none")
        yield Step(Action.MOVE, "wire", come.id, f"{come.number} ({_way(come.ends)}): {told}")
    if gone.number != come.number:
        yield Step(Action.RELABEL, "wire", come.id, f"{gone.number} as {come.number} ({_way(come.ends)})")


def _longer(gone: Conductor, come: Conductor) -> bool:
    return gone.length_m is not None and come.length_m is not None and come.length_m > 1.001 * gone.length_m


def _moved(gone: Conductor, come: Conductor, match: Matched) -> str:
    """Which ends go where, "" where both stay."""
    before = [match.node(end) for end in gone.ends]
    left = [end for end in before if end not in come.ends]
    new = [end for end in come.ends if end not in before]
    if not left or not new:
        return ""
    stays = [named(end) for end in before if end not in left]
    told = f"from {' and '.join(map(named, left))} to {' and '.join(map(named, new))}"
    return f"{told}; the end at {stays[0]} stays" if stays else told


def cable_steps(old: Design, new: Design, match: Matched) -> Iterator[Step]:
    """Everything that is done to cables and their shields, in the natural order of their names."""
    before = {cable.cable: cable for cable in old.plan.cables}
    after = {cable.cable: cable for cable in new.plan.cables}
    called = {name: name for name in before if name in after}
    for name in sorted(set(before) - set(after), key=natural):
        alike = [other for other in sorted(set(after) - set(before)) if _is_same(before[name], after[other], match)]
        if len(alike) == 1 and alike[0] not in called.values():
            called[name] = alike[0]
            yield Step(Action.RELABEL, "cable", alike[0], f"{name} as {alike[0]}")
    for name in sorted(set(before) - set(called), key=natural):
        yield Step(Action.TAKE_OFF, "cable", name, f"{name}: {_cores(before[name], match.node)}")
    for name in sorted(set(after) - set(called.values()), key=natural):
        yield Step(Action.PUT_ON, "cable", name, f"{name}: {_cores(after[name], _as_it_is)}")
    for name, other in called.items():
        yield from _kept_cable(before[name], after[other], match)


def _as_it_is(node: Node) -> Node:
    return node


def _cores(cable: Cable, translated: Callable[[Node], Node]) -> str:
    told = (f"{core} {_way(_joined(cable, core, translated))}" for core in cable.join)
    return ", ".join(told)


def _joined(cable: Cable, core: str, translated: Callable[[Node], Node]) -> list[Node]:
    return [translated((end.part, end.terminal)) for end in cable.join[core]]


def _bought(cable: Cable) -> dict[str, Any]:
    told = {key: getattr(cable, key) for key in Cable.model_fields if key not in _NOT_BOUGHT}
    return told | {"shielded": cable.shield is not None}


def _is_same(gone: Cable, come: Cable, match: Matched) -> bool:
    same = all(
        core in gone.join and _joined(gone, core, match.node) == _joined(come, core, _as_it_is) for core in come.join
    )
    return same and len(gone.join) == len(come.join) and _bought(gone) == _bought(come)


def _kept_cable(gone: Cable, come: Cable, match: Matched) -> Iterator[Step]:
    name = come.cable
    longer = gone.length is not None and come.length is not None and come.length > 1.001 * gone.length
    if _bought(gone) != _bought(come) or longer:
        yield Step(Action.REPLACE, "cable", name, f"{name}: {_told(come)} in place of {_told(gone)}")
    for core in dict.fromkeys((*gone.join, *come.join)):
        before = _joined(gone, core, match.node) if core in gone.join else []
        after = _joined(come, core, _as_it_is) if core in come.join else []
        if set(before) == set(after):
            continue
        action = Action.MOVE if before and after else Action.PUT_ON if after else Action.TAKE_OFF
        told = in_place_of(_way(after), _way(before)) if before and after else _way(after or before)
        yield Step(action, "core", f"{name}.{core}", f"core {core} of {name}: {told}")
    yield from _shield(gone, come, match)


def _shield(gone: Cable, come: Cable, match: Matched) -> Iterator[Step]:
    before = {match.node((end.part, end.terminal)) for end in (gone.shield.ends if gone.shield else ())}
    after = {(end.part, end.terminal) for end in (come.shield.ends if come.shield else ())}
    for node in sorted(before - after):
        yield Step(Action.TAKE_OFF, "shield", come.cable, f"shield of {come.cable} at {named(node)}")
    for node in sorted(after - before):
        yield Step(Action.PUT_ON, "shield", come.cable, f"shield of {come.cable} at {named(node)}")


def _told(cable: Cable) -> str:
    """What a cable is bought by, in words."""
    size = f" x {cable.size.text}" if cable.size else ""
    words = [f"{cable.cores or len(cable.join)}{size}", "shielded" if cable.shield else ""]
    words.append(f"{cable.length:.3g} m" if cable.length else "")
    return " ".join(filter(None, words))
