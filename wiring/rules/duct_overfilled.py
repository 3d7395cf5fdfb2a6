"""More conductors lie in a duct or conduit than fit.

A duct is one of the `routes`, or one of the enclosure's `ducts`, in which conductors lie that pass through it on
their way between parts with positions: there the fullest place of it counts. Each wire counts with the outer diameter
of a common insulated wire of its size, each cable with the diameter that it gives. A chain counts once, for its
pieces follow each other; every other conductor counts along the whole duct.

Fires on sorting-gate at duct
    routes.duct={kind: duct, size: 10 x 10 mm}
    control.route=duct
    line.route=duct
Quiet
    duct.size=30 x 30 mm
Not judged
    A duct without a size; one that its wires do not fill, when a cable in it has no `diameter` or a wire no size.
Known limits
    `enclosure: {duct_fill: …}` takes the place of the trade's figure; the North American figure stays the highest.
    Looms, trays and drag chains are not judged.
"""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from wiring.design.enclosure.duct_filling import DuctLoad, duct_limit, duct_loads, filling_limit, laid_loads
from wiring.findings import Mend, Number
from wiring.plan.edits import Path, SetValue
from wiring.plan.source import Place
from wiring.rulebooks.answers import NotTabled, weakest
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.steps import DUCTS_MM
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, nfpa_79

RULE = Rule(
    slug="duct-overfilled",
    title="Duct is too full",
    signal=Signal.CAUTION,
    harm="The cover does not close, insulation is cut when a wire is drawn, and the bundle runs hotter than computed.",
    sources=(
        ("iec", Source("common practice", "", "filling of wiring ducts", Standing.COMMON_PRACTICE)),
        ("na", nfpa_79("13.5")),
    ),
)


def check(design: Design) -> Judgements:
    """Every duct and conduit that something lies in."""
    for name, load in duct_loads(design).items():
        route = design.plan.routes[name]
        limit = filling_limit(design, route, len(load.names))
        if not load.names or isinstance(limit, NotTabled):
            continue
        place = design.reading.place("routes", name)
        if route.size is None:
            yield RULE.not_judged((name,), "its inner size (`size: 40 x 60 mm`)", place)
            continue
        round_factor = pi / 4 if route.kind == "conduit" else 1.0
        section_mm2 = round_factor * route.size.width * route.size.height * 1e6
        percent = 100 * load.area_mm2 / section_mm2
        if percent > limit.value * (1 + 1e-9):
            yield _finding(design, name, load, section_mm2, limit, _Duct(route.kind, place, ("routes", name, "size")))
        elif load.unknown:
            yield RULE.not_judged((name, *load.unknown), "the `diameter` of its cables and `size` of its wires", place)
    yield from _laid(design)


def _laid(design: Design) -> Judgements:
    """The ducts on the plate, each at its fullest place."""
    for name, load in laid_loads(design).items():
        duct = design.plan.enclosure.ducts[name] if design.plan.enclosure else None
        limit = duct_limit(design, len(load.names))
        if duct is None or not load.names or isinstance(limit, NotTabled):
            continue
        section_mm2 = duct.size.width * duct.size.height * 1e6
        place = design.reading.place("enclosure", "ducts", name)
        if 100 * load.area_mm2 / section_mm2 > limit.value * (1 + 1e-9):
            path = ("enclosure", "ducts", name, "size")
            yield _finding(design, name, load, section_mm2, limit, _Duct("duct", place, path))
        elif load.unknown:
            yield RULE.not_judged((name, *load.unknown), "the `diameter` of its cables and `size` of its wires", place)


class _Duct(NamedTuple):
    """What is too full: its kind, where it stands in the plan, and where its size does."""

    kind: str
    place: Place
    path: Path


def _larger(duct: _Duct, name: str, needed_mm2: float) -> Mend:
    words = f"Take a {duct.kind} of at least {needed_mm2:.0f} mm2 inside for {name}, or lay part of it elsewhere."
    found = next((one for one in DUCTS_MM if one[0] * one[1] >= needed_mm2 * (1 + 1e-9)), None)
    if duct.kind != "duct" or found is None:
        return Mend(words)
    text = f"{found[0]:g} x {found[1]:g} mm"
    words = f"Take a duct of {text} inside for {name}, or lay part of it elsewhere."
    return Mend(words, (SetValue(duct.path, text),))


def _finding(design: Design, name: str, load: DuctLoad, section_mm2: float, limit: Limit, duct: _Duct) -> Judgement:
    percent = 100 * load.area_mm2 / section_mm2
    needed_mm2 = 100 * load.area_mm2 / limit.value
    more = f" and {len(load.unknown)} of unknown thickness" if load.unknown else ""
    return RULE.finding(
        (name,),
        f"{duct.kind.capitalize()} {name} is {percent:.0f} % full with {len(load.names)} wires and cables{more}",
        duct.place,
        numbers=(
            Number("filled", percent, "%", "of the inner section"),
            Number(
                "conductors",
                load.area_mm2 * 1e-6,
                "m2",
                "outer sections together",
                weakest(*load.sources) if load.sources else None,
            ),
            Number("section", section_mm2 * 1e-6, "m2", f"inside {name}"),
        ),
        limit=limit,
        mend=(_larger(duct, name, needed_mm2),),
    )
