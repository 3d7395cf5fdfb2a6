"""A part stands at a voltage that it was not made for.

Two things are asked. Of every coil, lamp, heater, fan, valve, motor, sensor, encoder, card and supply input: the
voltage solved across it in any state, against its rating and the tolerance of loads; where no state feeds it, the
voltage that the contacts and outputs on its way can put on it. Of every part with a `rated_voltage`, and of the
barrier of an isolator: the highest voltage of the rails that reach it. Drives, DC fuses and breakers, and contacts on
DC have rules of their own. A resistor bears what its power and resistance allow.

Fires on sorting-gate at H1
    H1.rated=12 V DC 1 W
Quiet
    H1.rated=24 V DC 1 W
Not judged
    Parts above 50 V whose plan gives no rated voltage; spikes when a coil is switched off.
Known limits
    The voltage of a load that no state feeds is that of its source at rest, without the drop of the conductors.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from wiring.design.earth.metal_bodies import highest_level
from wiring.design.edits import for_voltage, of_part
from wiring.design.supply.excess_voltage import excess_across, excess_at_terminals, is_unrated
from wiring.findings import Mend, Number, Scope
from wiring.parts.base import Part
from wiring.parts.sources import Capacitor
from wiring.plan.edits import Edit
from wiring.plan.ratings import Voltage
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.signals import signal_limit
from wiring.rulebooks.steps import DC_V, first_at_least, nominal
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="part-voltage-exceeded",
    title="Part stands at too high a voltage",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="The part burns at power-on or fails soon after; above extra-low voltage its insulation breaks down.",
    sources=(("iec", iec_60204("4.2.1")), ("na", nfpa_79("4.2"))),
)
#: The rated voltages that stand on parts for alternating current [V].
_AC_V = (50.0, 125.0, 250.0, 400.0, 440.0, 500.0, 690.0)
#: Above this a breakdown is a danger and no loss [V] (upper end of PELV in dry places).
_DANGEROUS_V = tabled("iec", "pelv_dc_max_dry").value


def check(design: Design) -> Judgements:
    """Every part once: what its elements see first, then its terminals."""
    tolerance = signal_limit("load_voltage_max").value / 100.0
    unknown: list[Part] = []
    for part in design.parts.values():
        if excess := excess_across(design, part, tolerance):
            yield _finding(design, part, *excess, rests=_joints(design, part))
        elif excess := excess_at_terminals(design, part):
            yield _finding(design, part, *excess, rests=_joints(design, part) | scope("contact", part.name))
        elif is_unrated(design, part):
            unknown.append(part)
    names = [part.name for part in unknown]
    yield from RULE.ask(names, f"the rated voltage on its label (`rated_voltage: {_example(design, unknown)}`)")


def _example(design: Design, parts: Sequence[Part]) -> str:
    """A rating as it stands on parts for the highest voltage that these see."""
    levels = [level for part in parts if (level := highest_level(design, part)) is not None]
    highest = max(levels, key=lambda level: level.volts, default=None)
    if highest is None:
        return "250 V AC"
    step = first_at_least(DC_V if highest.kind == "DC" else _AC_V, highest.volts)
    return f"{step or highest.volts:g} V {highest.kind}"


def _joints(design: Design, part: Part) -> Scope:
    """The pairs of rails at a part: where two of them are joined, it gets the wrong voltage for that."""
    rails = {rail.source for terminal in part.terminals for rail in design.roles.rails[part.name, terminal]}
    return scope("joint", *("|".join(pair) for pair in combinations(sorted(rails), 2)))


def _for_voltage(design: Design, part: Part, volts: float, kind: str, rated: Voltage) -> tuple[Edit, ...]:
    """A part that is marked for the voltage, where its marking is all that is wrong."""
    own: Voltage | None = getattr(part.data, "rated_voltage", None)
    if own is None or own is not rated:
        return for_voltage(design, part, "rated", volts, kind)
    step = first_at_least(DC_V if kind == "DC" else _AC_V, volts)
    return of_part(part.name, "rated_voltage", f"{step:g} V {kind}") if step else ()


def _finding(
    design: Design, part: Part, volts: float, kind: str, where: str, rated: Voltage, share: float, *, rests: Scope
) -> Judgement:
    tolerance = signal_limit("load_voltage_max")
    source = tolerance.source if share != 1.0 else RULE.source(design.plan.rulebook) or tolerance.source
    limit = Limit(rated.volts * share, "V", source, tolerance.note if share != 1.0 else "")
    usual = nominal(volts, kind)
    fit = usual if usual * share >= volts else volts
    made_for = f"{rated.volts:.3g} V {rated.kind}".strip()
    return RULE.finding(
        (part.name,),
        f"{part.name} ({part.title}) is made for {made_for} and gets {volts:.3g} V {kind}",
        design.place(part.name),
        signal=Signal.WARNING if volts > _DANGEROUS_V or isinstance(part.data, Capacitor) else RULE.signal,
        numbers=(Number("across it", volts, "V", where), Number("rated", rated.volts, "V", part.name)),
        limit=limit,
        mend=(
            Mend(
                f"Take a part for {fit:.3g} V {kind}, or feed {part.name} from a rail of {rated.volts:.3g} V.",
                _for_voltage(design, part, volts, kind, rated),
            ),
        ),
        holds=scope("part", part.name) | scope("over", part.name),
        rests=(rests,),
    )
