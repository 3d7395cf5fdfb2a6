"""Random plans for the drawing: any parts, any wires between their terminals. They need not make electrical sense."""

from __future__ import annotations

import random

from tests.parts.kind_examples import EXAMPLES
from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.parts.kinds import kind_model

_SET: tuple[tuple[str, str, str], ...] = (
    ("F", "breaker", "poles: {poles}, rating: 6 A, curve: C"),
    ("F", "fuse", "poles: {poles}, rating: 2 A, class: gG"),
    ("F", "electronic-fuse", "rating: 2 A"),
    ("F", "motor-protector", "setting: 2 A, contacts: {{95-96: NC, 97-98: NO}}"),
    ("F", "rcd", "poles: 2, rated: 25 A, residual: 30 mA, type: A"),
    ("F", "surge-arrester", ""),
    ("Q", "disconnector", "poles: {poles}, rated: 20 A"),
    ("K", "contactor", "poles: {poles}, coil: 24 V DC 3 W, contacts: {{21-22: NC mirror, 13-14: NO}}"),
    ("K", "relay", "coil: 24 V DC 1 W, contacts: {{11-12: NC, 11-14: NO, 21-24: NO}}"),
    (
        "K",
        "safety-relay",
        "supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24], auxiliary: [41-42]",
    ),
    ("G", "supply", "input: 230 V AC, output: 24 V DC, rated: 5 A"),
    ("G", "converter", "input: 18..36 V DC, output: 5 V DC, rated: 2 A"),
    ("T", "transformer", "primary: 230 V AC, secondary: 24 V AC, rated: 100 VA"),
    ("T", "rectifier", "rated: 10 A"),
    ("C", "capacitor", "capacitance: 4700 µF"),
    ("Z", "filter", "poles: {filter}"),
    ("D", "stepper-drive", "supply: 24..48 V DC, phase_current: 4.2 A peak"),
    (
        "D",
        "servo-drive",
        "supply: 230 V AC, sto: [STO1+-STO1-], logic: {{between: [24V, 0V], voltage: 24 V DC, current: 0.4 A}}",
    ),
    ("D", "inverter", "supply: 230 V AC, rated: 750 W, braking: true, relay: TA-TC"),
    ("M", "stepper-motor", "phase_current: 4.2 A peak, phase_resistance: 0.8 ohm"),
    ("M", "servo-motor", "rated_power: 400 W"),
    ("M", "motor", "voltage: 400 V AC, phases: {phases}, rated_power: 370 W"),
    ("Y", "brake", "rated: 24 V DC 10 W"),
    ("R", "braking-resistor", "resistance: 100 ohm, power: 100 W"),
    ("E", "heater", "rated: 230 V AC 400 W"),
    ("H", "lamp", "rated: 24 V DC 20 mA"),
    ("E", "fan", "rated: 24 V DC 5 W"),
    ("G", "pump", "rated: 230 V AC 300 W"),
    ("Y", "valve", "rated: 24 V DC 8 W"),
    ("G", "process-source", "input: 230 V AC, output: 36 V DC, rated: 8 A, enable: EN+-EN-"),
    ("E", "load", "rated: 24 V DC 10 W"),
    ("S", "emergency-stop", "contacts: {{11-12: NC direct, 21-22: NC direct}}"),
    ("S", "push-button", "contacts: {{13-14: NO}}"),
    ("S", "selector", "contacts: {{13-14: NO, 21-22: NC}}"),
    ("S", "key-switch", "contacts: {{13-14: NO}}"),
    ("S", "foot-switch", "contacts: {{13-14: NO}}"),
    ("B", "limit-switch", "contacts: {{11-12: NC}}"),
    ("B", "guard-switch", "contacts: {{11-12: NC direct, 21-22: NC direct}}, earth: true"),
    ("B", "pressure-switch", "contacts: {{11-14: NO, 11-12: NC}}"),
    ("B", "float-switch", "contacts: {{11-12: NC}}"),
    ("B", "sensor", "supply: 10..30 V DC, output: pnp NO"),
    ("B", "encoder", "supply: {{between: [5V, 0V], voltage: 5 V DC, current: 0.1 A}}"),
    (
        "A",
        "io-card",
        "supply: {{between: [24V, 0V], voltage: 24 V DC, current: 0.2 A}}, common: COM, "
        "inputs: {{I1: sink, I2: sink, I3: sink, I4: sink, I5: sink}}, "
        "outputs: {{Q1: push-pull 5 V, Q2: push-pull 5 V, Q3: pnp, RC1-RO1: relay}}, output_common: QC",
    ),
    (
        "A",
        "controller",
        "inputs: {{I1: sink, I2: source}}, common: COM, outputs: {{Q1: npn, Q2: pnp}}, ports: [P1, P2]",
    ),
    ("U", "isolator", "input_voltage: 60 V DC, output_voltage: 10 V DC"),
    ("X", "terminals", "points: {points}, bridged: [1-3]"),
    ("X", "connector", "contacts: [A, B, C, D, PE]"),
    ("X", "earth-bar", "points: {points}"),
    ("W", "metalwork", "points: 2"),
    ("R", "suppressor", "type: diode"),
    ("R", "resistor", "resistance: 1 kohm"),
    ("V", "diode", ""),
    ("N", "device", "points: {{L: line, N: neutral, OUT: output, IN: input, PE: pe}}"),
)
#: Every other kind as in its example.
_KINDS = (
    *_SET,
    *(
        (
            kind_model(kind).letter,
            kind,
            body.removeprefix(f"{{kind: {kind}")
            .removesuffix("}")
            .removeprefix(", ")
            .replace("{", "{{")
            .replace("}", "}}"),
        )
        for kind, (body, _) in EXAMPLES.items()
        if kind not in {row[1] for row in _SET} | {"inlet"}
    ),
)
_COLOURS = ("BK", "BU", "DBU", "RD", "GNYE", "WHBU")
_SIZES = ("0.25 mm2", "0.75 mm2", "2.5 mm2", "16 AWG")
_TITLES = ("", "conveyor", "a title that is much longer than what fits above a symbol of this kind", "Ø µ ▷ <&>")


def _part(rng: random.Random, data: str) -> str:
    poles = rng.choice("1234")
    filled = data.format(
        poles=poles, filter=rng.choice("234"), phases=rng.choice(("1", "3", "DC")), points=rng.randint(4, 30)
    )
    words = [filled, f"title: {rng.choice(_TITLES)!r}" if rng.random() < 0.4 else ""]
    words.append(f"sheet: {rng.choice(('Feeder', 'Hoist'))}" if rng.random() < 0.03 else "")
    return "".join(f", {word}" for word in words if word)


def _head(book: str) -> list[str]:
    return [
        "format: 1",
        "machine: Random bench",
        f"rulebook: {book}",
        "mains: {inlet: X0, system: single-phase, voltage: 230 V}",
        "parts:",
        "  X0: {kind: inlet}",
    ]


def _terminals(design: Design) -> list[str]:
    return [f"{name}:{terminal}" for name, part in design.parts.items() for terminal in part.terminals]


def _wire(rng: random.Random, number: int, ends: list[str], bars: list[str]) -> str:
    colour, size = rng.choice(_COLOURS), rng.choice(_SIZES)
    made = "" if rng.random() < 0.1 else f", size: {size}, colour: {colour}"
    draw = rng.random()
    if draw < 0.12:
        chain = ", ".join(f'"{end}"' for end in rng.sample(ends, min(len(ends), rng.randint(2, 6))))
        return f"  - {{wire: {number}, through: [{chain}]{made}}}"
    if draw < 0.16:
        first, *others = rng.sample(ends, min(len(ends), rng.randint(3, 9)))
        targets = ", ".join(f'"{end}"' for end in others)
        return f'  - {{wire: {number}, star: {{from: "{first}", to: [{targets}]}}{made}}}'
    one, two = rng.sample(ends, 2)
    if draw < 0.4 and bars:
        two = rng.choice(bars)
    return f'  - {{wire: {number}, from: "{one}", to: "{two if two != one else ends[0]}"{made}}}'


def _cable(rng: random.Random, number: int, ends: list[str]) -> str:
    cores = rng.randint(2, 5)
    joins = []
    for core in range(1, cores + 1):
        one, two = rng.sample(ends, 2)
        joins.append(f'{core}: ["{one}", "{two}"]')
    shield = f', shield: {{ends: ["{rng.choice(ends)}", "{rng.choice(ends)}"]}}' if rng.random() < 0.6 else ""
    return f"  - {{cable: C{number}, cores: {cores}, size: 1 mm2, join: {{{', '.join(joins)}}}{shield}}}"


def random_plan(seed: int, most: int = 120) -> str:
    """The text of a plan of up to `most` parts."""
    rng = random.Random(seed)
    count = rng.randint(2, most)
    lines = _head(rng.choice(("iec", "na")))
    for number in range(1, count):
        letter, kind, data = rng.choice(_KINDS)
        long = "ExtraordinarilyLongDesignation" if rng.random() < 0.01 else ""
        lines.append(f"  {letter}{number}{long}: {{kind: {kind}{_part(rng, data)}}}")
    start = load_text("\n".join(lines) + "\n", "random.yaml").design
    assert start is not None, load_text("\n".join(lines) + "\n", "random.yaml").faults[:3]
    ends = _terminals(start)
    bars = [f"{name}:{t}" for name, part in start.parts.items() if part.kind == "terminals" for t in part.terminals]
    lines.append("wires:")
    lines += [_wire(rng, 100 + n, ends, bars[:6]) for n in range(int(count * rng.uniform(0.6, 2.6)) + 1)]
    lines.append("cables:")
    lines += [_cable(rng, n + 1, ends) for n in range(rng.randint(1, 1 + count // 8))]
    return "\n".join(lines) + "\n"


def random_design(seed: int, most: int = 120) -> Design:
    """The design of a random plan."""
    loaded = load_text(random_plan(seed, most), "random.yaml")
    assert loaded.design is not None, [str(fault) for fault in loaded.faults[:3]]
    return loaded.design
