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

from collections.abc import Iterator
from math import pi
from typing import NamedTuple

from wiring.design.enclosure.duct_filling import DuctLoad, duct_limit, duct_loads, filling_limit, laid_loads
from wiring.findings import Mend, Number
from wiring.plan.records import Pair
from wiring.plan.source import Place
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.answers import weakest
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


class _Duct(NamedTuple):
    """A duct or conduit that something lies in: where it stands in the plan, what fills it, and how far it may."""

    name: str
    kind: str
    place: Place
    size: Pair | None
    load: DuctLoad
    limit: Limit

    @property
    def section_mm2(self) -> float:
        """Inside of it; 0 where its size is not known."""
        round_factor = pi / 4 if self.kind == "conduit" else 1.0
        return round_factor * self.size.width * self.size.height * 1e6 if self.size else 0.0

    @property
    def needed_mm2(self) -> float:
        """The section that would be filled as far as it may."""
        return 100 * self.load.area_mm2 / self.limit.value

    @property
    def is_too_full(self) -> bool:
        """Whether more lies in it than may."""
        return 0.0 < self.section_mm2 * (1 + 1e-9) < self.needed_mm2

    @property
    def ask(self) -> Requirement:
        """The section that it should have."""
        why = f"{len(self.load.names)} wires and cables, {self.limit.value:.3g} % filled at most"
        return Requirement(RULE.slug, self.name, Quantity.SECTION, self.needed_mm2, why=why)


def check(design: Design) -> Judgements:
    """Every duct and conduit that something lies in; those on the plate at their fullest place."""
    for one in _ducts(design):
        if one.size is None:
            yield RULE.not_judged((one.name,), "its inner size (`size: 40 x 60 mm`)", one.place)
        elif one.is_too_full:
            yield _finding(one)
        elif one.load.unknown:
            missing = "the `diameter` of its cables and `size` of its wires"
            yield RULE.not_judged((one.name, *one.load.unknown), missing, one.place)


def requirements(design: Design) -> Requirements:
    """The section of every duct in which something lies."""
    yield from (one.ask for one in _ducts(design))


def _ducts(design: Design) -> Iterator[_Duct]:
    for name, load in duct_loads(design).items():
        route, limit = design.plan.routes[name], filling_limit(design, design.plan.routes[name], len(load.names))
        if load.names and isinstance(limit, Limit):
            yield _Duct(name, route.kind, design.reading.place("routes", name), route.size, load, limit)
    ducts = design.plan.enclosure.ducts if design.plan.enclosure else {}
    for name, load in laid_loads(design).items():
        limit = duct_limit(design, len(load.names))
        if load.names and isinstance(limit, Limit):
            place = design.reading.place("enclosure", "ducts", name)
            yield _Duct(name, "duct", place, ducts[name].size, load, limit)


def _finding(duct: _Duct) -> Judgement:
    load = duct.load
    percent = 100 * load.area_mm2 / duct.section_mm2
    more = f" and {len(load.unknown)} of unknown thickness" if load.unknown else ""
    return RULE.finding(
        (duct.name,),
        f"{duct.kind.capitalize()} {duct.name} is {percent:.0f} % full with {len(load.names)} wires and cables{more}",
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
            Number("section", duct.section_mm2 * 1e-6, "m2", f"inside {duct.name}"),
        ),
        limit=duct.limit,
        mend=(
            Mend(_larger(duct), asks=(duct.ask,) if duct.kind == "duct" else ()),
            f"Lay part of what is in {duct.name} elsewhere.",
        ),
    )


def _larger(duct: _Duct) -> str:
    if duct.kind == "duct":
        for width, height in DUCTS_MM:
            if width * height >= duct.needed_mm2 * (1 - 1e-9):
                return f"Take a duct of {width:g} x {height:g} mm inside for {duct.name}."
    return f"Take a {duct.kind} of at least {duct.needed_mm2:.0f} mm2 inside for {duct.name}."
