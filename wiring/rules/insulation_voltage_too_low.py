"""The insulation of a conductor is not rated for its own voltage, or for that of a conductor beside it.

Conductors of different circuits may lie in one duct, loom or tray when every one of them is insulated for the highest
voltage in it. In IEC machines that is line to earth in an earthed system, between lines in an unearthed one; in North
America the voltage of a circuit is the greatest between any two of its conductors. A cable that holds several lines
bears the voltage between them in either book: its rating is U, the second of a printed U0/U. One finding for each
route.

Fires on sorting-gate at L1
    line.rated=100 V
Quiet
    line.rated=300 V
Not judged
    Conductors without `rated`, where a voltage above extra-low voltage is in question.
Known limits
    Barriers in a duct are not known; give its parts names of their own as routes.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.edits import of_conductors
from wiring.design.enclosure.lanes import levels_by_route, several_lines
from wiring.design.supply.rail_levels import Level
from wiring.findings import Mend, Number
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.steps import INSULATION_V, first_at_least, rounded_up
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="insulation-voltage-too-low",
    title="Insulation is not rated for the voltage",
    signal=Signal.WARNING,
    harm="The insulation breaks down and puts mains on a control circuit, or on metal.",
    sources=(("iec", iec_60204("12.3, 13.1.3")), ("na", nfpa_79("12.3, 13.1.3"))),
)
#: Below this every common insulation is enough, and a missing rating is not asked for [V].
_ANY_INSULATION_V = tabled("common", "any_insulation").value


def check(design: Design) -> Judgements:
    """Conductors by their route; one without a route for itself."""
    unrated: list[str] = []
    for route, members in sorted(levels_by_route(design).items()):
        found = [level for _, level in members if level]
        highest = max(found, key=lambda level: (_counted(design, level), level.source), default=None)
        if highest is None:
            continue
        volts = _counted(design, highest)
        between = several_lines(design, members)
        weak = [c for c, _ in members if c.cable not in between and _is_weak(c, volts)]
        if weak:
            yield _finding(design, route.strip(), weak, highest, volts)
        for cable, level in sorted(between.items()):
            most = max(volts, level.volts)
            cores = [c for c, _ in members if c.cable == cable and _is_weak(c, most)]
            if cores:
                yield _finding(design, route.strip(), cores, level if most > volts else highest, most)
        if volts > _ANY_INSULATION_V:
            unrated += [c.id for c, _ in members if c.rated_v is None]
    yield from RULE.ask(unrated, "the rated voltage of their insulation (`rated: 500 V`)")


def _is_weak(conductor: Conductor, volts: float) -> bool:
    return conductor.rated_v is not None and conductor.rated_v < volts * (1 - 1e-6)


def _counted(design: Design, level: Level) -> float:
    """The voltage that insulation is rated by [V]; NFPA 70, article 100, "voltage (of a circuit)", in North America."""
    return level.volts if design.plan.rulebook == "na" else level.earth_v


def _better(design: Design, weak: list[Conductor], volts: float) -> tuple[Mend, ...]:
    rated = first_at_least(INSULATION_V, volts)
    if rated is None:
        return (Mend(f"Take conductors rated {rounded_up(volts):.3g} V or more."),)
    return (Mend(f"Take conductors rated {rated:g} V.", of_conductors(design, weak, "rated", f"{rated:g} V")),)


def _finding(design: Design, route: str, weak: list[Conductor], highest: Level, volts: float) -> Judgement:
    weak.sort(key=lambda conductor: (conductor.place.line, conductor.place.column, conductor.id))
    lowest = min(conductor.rated_v or 0.0 for conductor in weak)
    names = ", ".join(conductor.id for conductor in weak[:6]) + (" …" if len(weak) > 6 else "")
    where = f" in {route}" if route in design.plan.routes else ""
    between = volts > highest.earth_v * (1 + 1e-6) or design.plan.rulebook == "na"
    return RULE.finding(
        tuple(conductor.id for conductor in weak),
        f"The insulation of {names} is rated {lowest:.3g} V; the highest voltage "
        f"{'between conductors' if between else 'to earth'}{where} is {volts:.3g} V {highest.kind}",
        weak[0].place,
        numbers=(
            Number("insulation", lowest, "V", weak[0].id),
            Number("highest voltage", volts, "V", f"{'between lines' if between else 'to earth'}, by {highest.source}"),
        ),
        limit=RULE.limit(design, volts, "V"),
        mend=(
            *_better(design, weak, volts),
            *((f"Or lead them in a route of their own, apart from {route}.",) if where else ()),
        ),
    )
