"""A transistor output or a sensor is asked for more current than it gives.

Everything that hangs on the output is added up at the voltage that the output switches: coils, lamps, inputs, loads.

Fires on sorting-gate at A1
    A1.output_current=20 mA
Quiet
    A1.output_current=0.5 A
Not judged
    Outputs with more than 20 mA to give whose `output_current` the plan does not state.
Known limits
    Loads behind a series resistor or a further contact of the output are not added.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiring.circuit.model import named
from wiring.design.nets import Net
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Output, Resistance, Switch
from wiring.parts.passive import Resistor
from wiring.parts.signals import IoCard, Sensor
from wiring.rulebooks.limits import tabled
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="output-overloaded",
    title="Output is asked for too much current",
    signal=Signal.CAUTION,
    harm="The output shuts down or burns; what it drives drops out in motion, or can no longer be switched off.",
    sources=(("both", Source("IEC 61131-2", "2017", "digital outputs, rated current", Standing.FROM_MEMORY)),),
)
#: What every output gives [A].
_ANY_OUTPUT_A = tabled("common", "any_output").value


@dataclass(frozen=True, slots=True)
class _Asked:
    """An output, the current that its loads ask for and that it gives [A], and these loads."""

    terminal: str
    amps: float
    rated: float
    loads: list[str]


def _outputs(part: Part) -> Iterator[tuple[str, str, float | None]]:
    """Terminal, the pole that it switches through, and the rated current of every transistor output."""
    data = part.data
    if isinstance(data, Sensor):
        for element in part.elements:
            if isinstance(element, Switch):
                yield ("4", element.a if element.b == "4" else element.b, data.output_current)
    elif isinstance(data, IoCard):
        for element in part.elements:
            if isinstance(element, Switch) and data.outputs.get(element.actuator[7:], "").split(" ")[0] != "relay":
                name = element.actuator[7:]
                yield name, element.a if element.b == name else element.b, data.output_current
            elif isinstance(element, Output):
                yield element.plus, "", data.output_current


def _volts(design: Design, part: Part, terminal: str, pole: str) -> tuple[float, set[Net]]:
    """What an output switches [V], and the nets to which its loads must lead."""
    nets = design.nets
    if not pole:
        element = next(e for e in part.elements if isinstance(e, Output) and e.plus == terminal)
        return element.volts, {nets.of[part.name, element.minus]}
    poles = [p for p in nets.reach((part.name, pole)).sources if p.pole.main and p.pole.kind == "DC"]
    highest = max(poles, key=lambda p: p.pole.volts, default=None)
    return (highest.pole.volts, {highest.pole.ground}) if highest else (0.0, set())


def _amps(design: Design, part: Part, terminal: str, volts: float, far: set[Net]) -> tuple[float, list[str]]:
    nets, net = design.nets, design.nets.of[part.name, terminal]
    total, names = 0.0, []
    for name in sorted({node[0] for node in nets.members[net]} - {part.name}):
        other = design.parts.get(name)
        for element in other.elements if other else ():
            if not isinstance(element, Coil | Resistance | Draw | Input) or isinstance(other and other.data, Resistor):
                continue
            ends = nets.of[name, element.a], nets.of[name, element.b]
            if net in ends and ends[0] != ends[1] and far & {ends[0], ends[1]}:
                total += _load_a(element, volts)
                names.append(name)
    return total, sorted(set(names))


def _load_a(element: Coil | Resistance | Draw | Input, volts: float) -> float:
    match element:
        case Coil() | Resistance():
            return volts / element.ohm
        case Draw():
            return element.amps if element.amps is not None else (element.watts or 0.0) / volts
    return element.standby_w / volts


def check(design: Design) -> Judgements:
    """Every wired transistor output."""
    silent: set[str] = set()
    over: dict[str, list[_Asked]] = {}
    for part in design.parts.values():
        for terminal, pole, rated in _outputs(part):
            if (part.name, terminal) not in design.nets.joined:
                continue
            volts, far = _volts(design, part, terminal, pole)
            if volts <= 0.0:
                continue
            amps, names = _amps(design, part, terminal, volts, far)
            if rated is not None and amps > rated * (1 + 1e-6):
                over.setdefault(part.name, []).append(_Asked(terminal, amps, rated, names))
            elif rated is None and amps > _ANY_OUTPUT_A:
                silent.add(part.name)
    for name, rows in over.items():
        yield _finding(design, design.parts[name], rows)
    if silent:
        yield RULE.not_judged(sorted(silent), "the current that its outputs give (`output_current: 0.5 A`)")


def _finding(design: Design, part: Part, rows: list[_Asked]) -> Judgement:
    worst = max(rows, key=lambda row: (row.amps / row.rated, row.terminal))
    wires = design.circuit.conductors_at((part.name, worst.terminal))
    others = [named((part.name, row.terminal)) for row in rows if row is not worst]
    also = f"; so {'are' if len(others) > 1 else 'is'} {listed(others)}" if others else ""
    loads = sorted({name for row in rows for name in row.loads})
    return RULE.finding(
        (part.name, *loads),
        f"{named((part.name, worst.terminal))} is asked for {worst.amps:.3g} A by {', '.join(worst.loads)} and gives "
        f"{worst.rated:.3g} A{also}",
        wires[0].place if wires else design.place(part.name),
        numbers=(Number("asked for", worst.amps, "A", ", ".join(worst.loads)),),
        limit=RULE.limit(design, worst.rated, "A"),
        mend=("Put a relay between the output and its load, or share the loads out among several outputs.",),
    )
