"""A conductor carries more current than it may.

The current is the largest over all states of the plan, solved in the network: daisy chains carry what hangs behind
them, shared returns carry the sum. Motor conductors carry the phase current that their drive is set to. The limit is
the ampacity of the size, at the air temperature around it, with the loaded circuits that lie beside it. Conductors
that may carry nothing in the air around them are one finding, which names what limits them; where a cabinet that is
too hot is the reason, `cabinet-too-hot` names them.

Fires on hot-wire at 20
    work.size=0.25 mm2
Quiet
    work.size=1 mm2
Not judged
    A conductor without a size, or of a size that no table has.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from math import inf

from wiring.circuit.model import Conductor
from wiring.design.conductor.place import insulation_limit
from wiring.design.conductor.sizes import size_that_carries
from wiring.design.device.overcurrent_protection import motor_current
from wiring.design.enclosure.derated_parts import conductors_in_heat, useless_conductors
from wiring.findings import Finding, Mend, Number, Scope
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.ampacity_iec import TERMINAL_C
from wiring.rulebooks.answers import NotTabled
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.rules.words import another_route
from wiring.wording import listed

RULE = Rule(
    slug="conductor-overloaded",
    title="Conductor carries more than it may",
    signal=Signal.WARNING,
    harm="The insulation ages in weeks or melts, and the bundle around it can burn.",
    sources=(("iec", iec_60204("12.4", Standing.CONFIRMED)), ("na", nfpa_79("12.5.1"))),
)


def check(design: Design) -> Judgements:
    """Every conductor in its worst state. Those without a size are told together."""
    unsized: list[str] = []
    heat = conductors_in_heat(design)
    for name, figure in design.conductors.items():
        conductor = design.circuit.conductor[name]
        if figure.bound is not None and figure.current_a > figure.bound.value > 0.0:
            rests = _shorted(design, conductor) | scope("heat", *([name] if name in heat else []))
            yield Item(conductor.cable or name, name, partial(_finding, design), rests=(rests,))
        elif isinstance(figure.ampacity, NotTabled) and conductor.size is None:
            unsized.append(name)
        elif isinstance(figure.ampacity, NotTabled):
            yield RULE.not_judged((name,), figure.ampacity.reason, conductor.place)
    for name in useless_conductors(design.loading):
        rests = scope("heat", *([name] if name in heat else []))
        yield Item("warm", name, partial(_too_warm, design), rests=(rests,))
    yield from _unknown_motors(design)
    if unsized:
        first = design.circuit.conductor[unsized[0]]
        yield RULE.not_judged(tuple(unsized), "the size of the conductor (`size`)", first.place)


def requirements(design: Design) -> Requirements:
    """Every conductor in its worst state."""
    for name, figure in design.conductors.items():
        if figure.bound is not None:
            yield _required(design, name)


def _required(design: Design, name: str) -> Requirement:
    figure = design.conductors[name]
    size = size_that_carries(design.machine, figure, figure.current_a)
    why = f"{figure.current_a:.3g} A at {figure.ambient_c:.0f} °C"
    return Requirement(RULE.slug, name, Quantity.AREA, size.area_mm2 if size else inf, why=why)


def _shorted(design: Design, conductor: Conductor) -> Scope:
    """The sources of the rails at its ends: one that is shorted drives a current that no size carries."""
    return scope("shorted", *(rail.source for end in conductor.ends for rail in design.roles.rails[end]))


def _too_warm(design: Design, names: Sequence[str]) -> Finding:
    """Conductors that may carry nothing in the air around them, told together with what limits them."""
    worst, figure = max(((name, design.conductors[name]) for name in names), key=lambda row: row[1].ambient_c)
    by_terminals = design.plan.rulebook == "iec" and figure.insulation_c > max(TERMINAL_C, figure.ambient_c)
    limited = f"terminals for {TERMINAL_C:.0f} °C" if by_terminals else f"insulation for {figure.insulation_c:.0f} °C"
    mend = (
        f"Cool the place where they lie: better insulation does not help terminals for {TERMINAL_C:.0f} °C."
        if by_terminals
        else "Cool the place where they lie, or use insulation that stands more heat, such as xlpe-90."
    )
    source = insulation_limit(design.machine, design.circuit.conductor[worst]).source
    return RULE.finding(
        names,
        f"The air at {figure.ambient_c:.0f} °C leaves {limited} no current: {listed(names)}",
        design.circuit.conductor[names[0]].place,
        numbers=(
            Number("air", figure.ambient_c, "°C", f"around {worst}"),
            Number("insulation", figure.insulation_c, "°C", "highest temperature", source),
        ),
        limit=figure.ampacity if not isinstance(figure.ampacity, NotTabled) else None,
        mend=(mend,),
    )


def _unknown_motors(design: Design) -> Judgements:
    for axis in design.axes.values():
        if axis.motors and motor_current(axis) is None:
            missing = "the current of its motor conductors (`rated_current` or `output_current`)"
            yield RULE.not_judged((axis.drive.name,), missing, design.place(axis.drive.name))


def _finding(design: Design, names: Sequence[str]) -> Finding:
    """The conductor that carries most for its size, with the other cores of its cable."""
    name = max(names, key=lambda one: (design.conductors[one].share, -names.index(one)))
    figure = design.conductors[name]
    others = [other for other in names if other != name]
    conductor = design.circuit.conductor[name]
    assert figure.bound is not None
    assert conductor.size is not None
    protection = design.protections.get(name)
    state = f"state {figure.state}" if figure.state in design.state_entries else figure.state
    at = f"{conductor.size.text} at {figure.ambient_c:.0f} °C"
    numbers = [
        Number("load", figure.current_a, "A", state),
        Number("ampacity", figure.bound.value, "A", at, figure.bound.source),
    ]
    if protection is not None and protection.rating_a != float("inf"):
        numbers.append(Number("protected by", protection.rating_a, "A", protection.part))
    larger = size_that_carries(design.machine, figure, figure.current_a)
    asks = tuple(_required(design, one) for one in (name, *others))
    return RULE.finding(
        (name, *others),
        f"Conductor {name} ({conductor.size.text}) carries {figure.current_a:.3g} A and may carry "
        f"{figure.bound.value:.3g} A{f'; {listed(others)} too' if others else ''}",
        conductor.place,
        numbers=numbers,
        limit=figure.bound,
        mend=(
            *another_route(design, name, figure.current_a),
            Mend(f"Make {', '.join([name, *others])} of {larger.text}.", asks=asks)
            if larger
            else f"Split the load of {name} over more conductors.",
        ),
    )
