"""From a description to a plan at its least sizes: write, size by the engine, write again with the reasons, judge."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from math import ceil, inf
from pathlib import Path

from msgspec import Struct

from wiring.cabinet.study import Study
from wiring.describe.build import Refused
from wiring.describe.cabinets import cool_box, taken_box
from wiring.describe.description import Description
from wiring.describe.draft import Chosen
from wiring.describe.floors import COOL_K, FREE, RATED_INPUT, floors, supply_of
from wiring.describe.generate import plan_of
from wiring.describe.refusals import (
    has_openings,
    refuse_bought,
    refuse_given,
    refuse_overload,
    refuse_unmet,
    short_supplies,
)
from wiring.describe.switchgear import GROUP
from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.design.motor.drive_feeds import bus_feed
from wiring.findings import Finding, Report, Verdict
from wiring.parts.drives import Drive
from wiring.parts.sources import Supply
from wiring.plan.source import Node
from wiring.requirement import Requirement
from wiring.rules.run import judge, told_alone
from wiring.sizing.engine import settle
from wiring.sizing.ladder import Sort
from wiring.sizing.records import Sizing, Unmet, Wish

#: Plans that are written until nothing moves any more: a split of a supply or a fan begins anew.
_ROUNDS = 6
#: From this one on the cabinet only grows, as what it holds moves a little with it.
_FINAL_BOX = 3
_MOST_RAILS = 4
_SLACK = 0.01
Progress = Callable[[str], None]


class Composed(Struct, frozen=True):
    """A plan with all that the rules say of it, what no size meets, and why it has another cabinet than described."""

    text: str
    design: Design
    report: Report
    unmet: tuple[Unmet, ...]
    cabinet: str = ""


def composed(description: Description, tree: Node, file: str, progress: Progress = lambda _: None) -> Composed:
    """The plan of a description. Raises Refused for what it asks and cannot have.

    Where the cheapest drives do not pass the smallest are taken.
    """
    if description.prices:
        with suppress(Refused):
            found = _settled(description, tree, file, progress)
            if found.report.verdict is Verdict.CLEAR:
                return found
    return _settled(description.model_copy(update={"prices": {}}), tree, file, progress)


def _settled(description: Description, tree: Node, file: str, progress: Progress) -> Composed:
    found = _composed(description, tree, file, Chosen(), progress)
    if any(
        found.design.parts[one.ladder.name].title == GROUP
        for one in found.unmet
        if one.ladder.name in found.design.parts
    ):
        # A device that is right for all that hangs behind the contactors is too large for the motor among it.
        alone = _composed(description, tree, file, Chosen(alone=True), progress)
        found = alone if not alone.unmet else found
    elif _undecided(found.report):
        # An earth fault in front of the contactors is then limited by a device that the plan knows.
        grouped = _composed(description, tree, file, Chosen(grouped=True), progress)
        found = grouped if grouped.report.verdict is Verdict.CLEAR else found
    if has_openings(found.report) and not description.cabinet.bought:
        found = _composed(description, tree, file, Chosen(air="", closed=True), progress)
    refuse_given(found.design, found.report, found.unmet)
    refuse_bought(found.design)
    # No rule speaks of an inverter at rated power, so what is unmet there counts whatever the verdict.
    if found.report.verdict is not Verdict.CLEAR or any(one.need.rule == RATED_INPUT for one in found.unmet):
        refuse_unmet(found.unmet)
    return found


def _undecided(report: Report) -> bool:
    return any(one.rule == "stop-fault-dangerous" for one in report.open_questions)


def _composed(description: Description, tree: Node, file: str, chosen: Chosen, progress: Progress) -> Composed:
    text, design = _begun(description, tree, file, chosen)
    rough = True
    for count in range(_ROUNDS):
        progress(f"plan {count + 1}")
        extra = tuple(floors(design, int(description.room), cool=chosen.cool))
        wish = Wish(FREE, anew=True, extra=extra, nearly=bool(chosen.steps), shared=_shared(design, chosen))
        sizing = settle(design, wish, progress)
        before, chosen = chosen, _taken(sizing, chosen)
        final = count >= _FINAL_BOX
        box, why = taken_box(sizing.design, description.cabinet, before.box, final=final, rough=rough)
        if chosen.closed:
            box, why = cool_box(sizing.design, box), "large enough to do without a fan, for it has no openings"
        chosen.box, chosen.box_why = box, why or before.box_why
        text = plan_of(description, tree, chosen)
        design = _design(text, file)
        if chosen.same_as(before) or _is_same(design, sizing.design):
            if Study(design.circuit).holds:
                break
            rough = False  # what shortens the wires stands in the way of something on the door
    refuse_overload(sizing.design)
    return Composed(text, design, judge(design), sizing.unmet, chosen.box_why if description.cabinet.size else "")


def _begun(description: Description, tree: Node, file: str, chosen: Chosen) -> tuple[str, Design]:
    """The first plan: lengths follow from the cabinet, and most parts are there before any of them has its size."""
    text = plan_of(description, tree, chosen)
    design = _design(text, file)
    chosen.box, chosen.box_why = taken_box(design, description.cabinet, None, final=False)
    if chosen.box is not None:
        text = plan_of(description, tree, chosen)
        design = _design(text, file)
    return text, design


def _is_same(written: Design, sized: Design) -> bool:
    """Whether the written plan is the machine that was sized, so that sizing it again would change nothing."""
    parts, others = written.parts, sized.parts
    wires, sizes = ([(one.id, one.size, one.length_m) for one in some.circuit.conductors] for some in (written, sized))
    air, box = (written.plan.enclosure, sized.plan.enclosure)
    return (
        parts.keys() == others.keys()
        and written.plan.routes == sized.plan.routes
        and wires == sizes
        and (air and (air.fan, air.size)) == (box and (box.fan, box.size))
        and all(part.data == others[name].data for name, part in parts.items())
    )


def _design(text: str, file: str) -> Design:
    loaded = load_text(text, file, Path())
    if loaded.design is None:
        raise RuntimeError("\n".join(str(fault) for fault in loaded.faults))
    return loaded.design


def _taken(sizing: Sizing, before: Chosen) -> Chosen:
    """What a sizing chose, as the draft reads it."""
    found = Chosen(
        types={name: step.words for name, step in sizing.types.items()},
        rails=before.rails,
        clamps=before.clamps,
        cool=before.cool,
        grouped=before.grouped,
        alone=before.alone,
        closed=before.closed,
        air=before.air,
    )
    most: dict[str, Requirement] = {}
    for key, ladder in sizing.ladders.items():
        step = sizing.steps[key]
        if ladder.sort is Sort.FAN and not found.closed:
            found.air = step.words if step.high else ""
        elif ladder.sort is not Sort.CONDUCTOR or step.high != _type_size(sizing, ladder.type):
            found.steps[key] = step.words
        asked = sizing.asked.get(key)
        need = asked.by_least() if asked else None
        if need is not None and need.least < inf:
            found.why[key] = f"{step.words}{f' at {step.price}' if step.price else ''}: {need.why}"
            if ladder.type and step.high == _type_size(sizing, ladder.type):
                worst = most.get(ladder.type)
                if worst is None or need.least > worst.least:
                    most[ladder.type] = need
    found.type_why = {name: f"{sizing.types[name].words}: {need.why}" for name, need in most.items()}
    return _structure(sizing, found)


def _shared(design: Design, chosen: Chosen) -> list[str]:
    """The supplies beside which another one may stand."""
    found = ((name, part.data) for name, part in design.parts.items())
    return [
        name
        for name, data in found
        if isinstance(data, Supply) and chosen.rails.get(data.output.volts, 1) < _MOST_RAILS
    ]


def _type_size(sizing: Sizing, name: str) -> float | None:
    return sizing.types[name].high if name in sizing.types else None


def _structure(sizing: Sizing, found: Chosen) -> Chosen:
    """What no size mends: axes shared among more supplies, a chopper on a rail, more air for conductors that would grow
    too thick for their terminals. All is sized anew then."""
    rails = dict(found.rails)
    for one in sizing.unmet:
        if one.is_short_supply(0.999):
            supply = sizing.design.parts[one.ladder.name].data
            if isinstance(supply, Supply) and rails.get(supply.output.volts, 1) < _MOST_RAILS:
                now = found.rails.get(supply.output.volts, 1)
                wanted = ceil(now * one.need.least / one.ladder.steps[-1].high - _SLACK)
                rails[supply.output.volts] = min(max(now + 1, wanted), _MOST_RAILS)
    for volts in _bought_and_short(sizing.design):  # it keeps some of the axes, and one of the library takes the rest
        rails[volts] = min(max(found.rails.get(volts, 1) + 1, rails.get(volts, 1)), _MOST_RAILS)
    clamps = found.clamps | set(_fed_back(sizing.design))
    warm = (sizing.design.inside.rise_k or 0.0) > COOL_K
    cool = found.cool or (warm and any(one.ladder.sort is Sort.CONDUCTOR for one in sizing.unmet))
    if (rails, clamps, cool) == (found.rails, found.clamps, found.cool):
        return found
    kept = {name: getattr(found, name) for name in ("grouped", "alone", "closed")}
    return Chosen(rails=rails, clamps=frozenset(clamps), cool=cool, air="" if found.closed else None, **kept)


def _bought_and_short(design: Design) -> Iterator[float]:
    """The rails of several drives whose supply is bought and gives too little, by their voltage."""
    for said in short_supplies(design):
        drives = [axis for axis in design.axes.values() if supply_of(design, axis.drive) == said.subjects[0]]
        data = design.parts[said.subjects[0]].data
        if len(drives) > 1 and isinstance(data, Supply):
            yield data.output.volts


def _fed_back(design: Design) -> Iterator[float]:
    """The rails that take less than their axes feed back, by their voltage."""
    for said in told_alone(design, "regeneration-too-high"):
        for name in said.subjects if isinstance(said, Finding) else ():
            data = design.parts[name].data if name in design.parts else None
            if isinstance(data, Drive):
                feed = bus_feed(design, design.parts[name])
                if feed is not None and feed.origin.kind == "DC":
                    yield round(feed.volts)
