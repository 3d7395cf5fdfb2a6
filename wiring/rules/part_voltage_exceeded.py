"""A part stands at a voltage that it was not made for.

Two things are asked. Of every coil, lamp, heater, fan, valve, sensor, card and supply input: the voltage solved across
it in any state, against its rating and the tolerance of loads; where no state feeds it, the voltage that the contacts
and outputs on its way can put on it. Of every part with a `rated_voltage`: the highest
voltage of the rails that reach it. Drives, DC fuses and breakers, and contacts on DC have rules of their own.

Fires on sorting-gate at H1
    H1.rated=12 V DC 1 W
Quiet
    H1.rated=24 V DC 1 W
Not judged
    Parts whose plan gives no rated voltage; spikes when a coil is switched off.
Known limits
    The voltage of a load that no state feeds is that of its source at rest, without the drop of the conductors.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from wiring.circuit.roles import Role
from wiring.design.edits import for_voltage, of_part
from wiring.design.given_voltages import Loaded
from wiring.design.levels import worst_volts
from wiring.design.reachable import reachable_volts
from wiring.findings import Mend, Number, Scope
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.parts.incoming import Capacitor
from wiring.parts.loads import Fan, Heater, Lamp, Load, Pump, Valve
from wiring.parts.motors import Brake
from wiring.parts.passive import Connector, Diode, Suppressor, Terminals
from wiring.parts.protection import Breaker, Disconnector, Fuse, MotorProtector, ResidualCurrentDevice
from wiring.parts.signals import Encoder, IoCard, Isolator, Sensor
from wiring.parts.switching import Contactor, Relay, SafetyRelay
from wiring.plan.edits import Edit
from wiring.plan.records import Voltage, VoltageRange
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
#: Above this a breakdown is a danger and no loss [V] (upper end of PELV in dry places).
_DANGEROUS_V = tabled("iec", "pelv_dc_max_dry").value
#: Nominal voltages are rounded: 230/400 V and 120/208 V (IEC 60038) differ from the root of three by less than this.
_NOMINAL = 1.01
#: Devices whose DC rating has a rule of its own.
_ASKED_ELSEWHERE = Breaker | Fuse | ResidualCurrentDevice | MotorProtector | Contactor | Relay | Disconnector
_EITHER_KIND = Terminals | Connector | Capacitor | Diode | Suppressor


def _rated(part: Part, element: Loaded, tolerance: float) -> tuple[Voltage, float] | None:
    """The rated voltage of an element and the share of it that it bears; None where another rule asks."""
    data = part.data
    match data:
        case Lamp() | Heater() | Fan() | Pump() | Valve() | Load() | Brake():
            return data.rated.voltage, tolerance
        case Contactor() | Relay():
            return data.coil.voltage, tolerance
        case SafetyRelay() if isinstance(element, Coil) and element.moves == "supply":
            return data.supply.voltage, tolerance
        case Sensor():
            return Voltage(data.supply.high, "DC"), 1.0
        case Encoder() | IoCard() | Isolator() if data.supply and element.b == data.supply.between[1]:
            return (data.supply.voltage, tolerance) if isinstance(element, Draw | Input) else None
        case Drive() if data.logic and isinstance(element, Draw) and element.name == "logic":
            return data.logic.voltage, tolerance
    if isinstance(element, Input) and not isinstance(data, IoCard) and element.high_v != float("inf"):
        return Voltage(element.high_v, element.kind), 1.0
    return None


def check(design: Design) -> Judgements:
    """Every part once: what its elements see first, then its terminals."""
    tolerance = signal_limit("load_voltage_max").value / 100.0
    for part in design.parts.values():
        finding = _across(design, part, tolerance) or _at_terminals(design, part)
        if finding is not None:
            yield finding


def _joints(design: Design, part: Part) -> Scope:
    """The pairs of rails at a part: where two of them are joined, it gets the wrong voltage for that."""
    rails = {rail.source for terminal in part.terminals for rail in design.roles.rails[part.name, terminal]}
    return scope("joint", *("|".join(pair) for pair in combinations(sorted(rails), 2)))


def _across(design: Design, part: Part, tolerance: float) -> Judgement | None:
    for element in part.elements:
        if not isinstance(element, Draw | Coil | Input | Resistance):
            continue
        answer = _rated(part, element, tolerance)
        if answer is None:
            continue
        rated, share = answer
        for volts, kind, where in _seen(design, part, element):
            foreign = rated.kind not in ("", kind) and volts > 0.5 * rated.volts and not isinstance(element, Resistance)
            if volts > rated.volts * share * (1 + 1e-6) or foreign:
                return _finding(design, part, volts, kind, where, rated, share)
    return None


def _seen(design: Design, part: Part, element: Loaded) -> Iterator[tuple[float, str, str]]:
    """Voltage across an element, its kind, and when: in the states, or once a program or a hand switches it on."""
    for kind in _kinds(design, part, element):
        volts, state = worst_volts(design.operation, part, element, kind)
        yield volts, kind, f"state {state}"
    for volts, kind, source in reachable_volts(design.machine, design.operation, part, element):
        yield volts, kind, f"switched on, from {source}"


def _kinds(design: Design, part: Part, element: Loaded) -> list[str]:
    """The kinds of voltage that the rails at an element bring."""
    rails = design.roles.rails
    found = {*rails[part.name, element.a], *rails[part.name, element.b]}
    return sorted({design.levels[rail].kind for rail in found if rail in design.levels})


def _at_terminals(design: Design, part: Part) -> Judgement | None:
    rated: Voltage | VoltageRange | None = getattr(part.data, "rated_voltage", None)
    if rated is None:
        return None
    if isinstance(rated, VoltageRange):  # of a solid-state relay
        rated = Voltage(rated.high, rated.kind)
    rails = {rail for terminal in part.terminals for rail in design.roles.rails[part.name, terminal]}
    lines = sum(rail.role is Role.LIVE for rail in rails)
    for rail in sorted(rails & design.levels.keys()):
        level = design.levels[rail]
        volts = level.earth_v if rail.role is Role.LIVE and lines == 1 else level.volts
        if level.kind == "DC" and isinstance(part.data, _ASKED_ELSEWHERE):
            continue
        comparable = rated.kind in ("", level.kind) or isinstance(part.data, _EITHER_KIND)
        if comparable and volts > rated.volts * _NOMINAL:
            return _finding(design, part, volts, level.kind, f"by {level.source}", rated, 1.0)
    return None


def _for_voltage(design: Design, part: Part, volts: float, kind: str, rated: Voltage) -> tuple[Edit, ...]:
    """A part that is marked for the voltage, where its marking is all that is wrong."""
    own: Voltage | None = getattr(part.data, "rated_voltage", None)
    if own is None or own is not rated:
        return for_voltage(design, part, "rated", volts, kind)
    step = first_at_least(DC_V if kind == "DC" else (50.0, 125.0, 250.0, 400.0, 440.0, 500.0, 690.0), volts)
    return of_part(part.name, "rated_voltage", f"{step:g} V {kind}") if step else ()


def _finding(
    design: Design, part: Part, volts: float, kind: str, where: str, rated: Voltage, share: float
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
        signal=Signal.WARNING if volts > _DANGEROUS_V else RULE.signal,
        numbers=(Number("across it", volts, "V", where), Number("rated", rated.volts, "V", part.name)),
        limit=limit,
        mend=(
            Mend(
                f"Take a part for {fit:.3g} V {kind}, or feed {part.name} from a rail of {rated.volts:.3g} V.",
                _for_voltage(design, part, volts, kind, rated),
            ),
        ),
        holds=scope("part", part.name) | scope("over", part.name),
        rests=(_joints(design, part),),
    )
