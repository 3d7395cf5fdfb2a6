"""What the loads of every transistor output, and of the supply of an encoder, ask of it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.nets import Net
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Draw, Input, Output, Resistance, Switch
from wiring.parts.light_curtain import LightCurtain
from wiring.parts.passive import Resistor
from wiring.parts.signals import IoCard, Sensor


class OutputLoad(Struct, frozen=True):
    """An output, the current that its loads ask for and that it gives [A], and these loads."""

    terminal: str
    amps: float
    rated: float
    loads: list[str]


def transistor_outputs(part: Part) -> Iterator[tuple[str, str, float | None]]:
    """Terminal, the pole that it switches through, and the rated current of every transistor output; the supply of an
    encoder is one too."""
    data = part.data
    if isinstance(data, Drive) and data.encoder is not None:
        yield data.terminals.get(data.encoder.between[0], data.encoder.between[0]), "", data.encoder.current
    if isinstance(data, Sensor):
        for element in part.elements:
            if isinstance(element, Switch):
                yield ("4", element.a if element.b == "4" else element.b, data.output_current)
    elif isinstance(data, LightCurtain):
        yield from ((one.b, one.a, data.output_current) for one in part.of(Switch) if one.solid_state)
    elif isinstance(data, IoCard):
        for element in part.elements:
            if isinstance(element, Switch) and data.outputs.get(element.actuator[7:], "").split(" ")[0] != "relay":
                name = element.actuator[7:]
                yield name, element.a if element.b == name else element.b, data.output_current
            elif isinstance(element, Output):
                yield element.plus, "", data.output_current


def switched_volts(design: Design, part: Part, terminal: str, pole: str) -> tuple[float, set[Net]]:
    """What an output switches [V], and the nets to which its loads must lead."""
    nets = design.nets
    if not pole:
        element = next(e for e in part.elements if isinstance(e, Output) and e.plus == terminal)
        return element.volts, {nets.of[part.name, element.minus]}
    poles = [p for p in nets.reach((part.name, pole)).sources if p.pole.main and p.pole.kind == "DC"]
    highest = max(poles, key=lambda p: p.pole.volts, default=None)
    return (highest.pole.volts, {highest.pole.ground}) if highest else (0.0, set())


def asked_current(design: Design, part: Part, terminal: str, volts: float, far: set[Net]) -> tuple[float, list[str]]:
    """The current that loads between an output and its other pole ask for [A], and these loads."""
    nets, net = design.nets, design.nets.of[part.name, terminal]
    total, names = 0.0, []
    for name in sorted({node[0] for node in nets.members[net]} - {part.name}):
        other = design.parts.get(name)
        for element in other.elements if other else ():
            if not isinstance(element, Coil | Resistance | Draw | Input) or isinstance(other and other.data, Resistor):
                continue
            ends = nets.of[name, element.a], nets.of[name, element.b]
            if net in ends and ends[0] != ends[1] and far & {ends[0], ends[1]}:
                total += _load_current_a(element, volts)
                names.append(name)
    return total, sorted(set(names))


def _load_current_a(element: Coil | Resistance | Draw | Input, volts: float) -> float:
    match element:
        case Coil() | Resistance():
            return volts / element.ohm
        case Draw():
            return element.amps if element.amps is not None else (element.watts or 0.0) / volts
    return element.standby_w / volts
