"""The encoder of a motor reports to another drive than the one that moves it.

A drive in a closed loop turns its motor until its encoder says that it has arrived. Fed with the signals of another
shaft it never hears that, and runs away with all its torque as soon as it is enabled. Every signal of the encoder on a
motor's shaft is followed to the drives that it reaches.

Fires on mixer at M1
    T1.encoder={voltage: 5 V DC}
    M1.encoder={voltage: 5 V DC, signals: [EA+, EA-]}
    parts.T2={kind: inverter, supply: 380..480 V AC, phases: 3, rated: 1.5 kW, encoder: {voltage: 5 V DC}}
    wires+={wire: 20, from: M1:EA+, to: T2:EA+, type: line}
    wires+={wire: 21, from: M1:EA-, to: T2:EA-, type: line}
Quiet
    20.to=T1:EA+
    21.to=T1:EA-
Not judged
    Encoders that are parts of their own: no plan says on whose shaft they sit. Signals that a controller reads.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.findings import Cause
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.motors import Shaft
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="encoder-reports-to-other-drive",
    title="Encoder reports to another drive than that of its motor",
    signal=Signal.WARNING,
    harm="Both axes run away as soon as they are enabled, into their ends or into whoever stands there.",
    sources=(("both", Source("Physics", "", "a loop closed over another shaft", Standing.CONFIRMED)),),
)


def check(design: Design) -> Judgements:
    """Every motor with an encoder on its shaft and a drive that moves it."""
    for axis in design.axes.values():
        for motor in axis.motors:
            reached = dict(_reached(design, motor))
            wrong = sorted(set(reached) - {axis.drive.name})
            if wrong and isinstance(axis.drive.data, Drive) and axis.drive.data.encoder is not None:
                yield _finding(design, motor, axis.drive.name, wrong, [reached[name] for name in wrong])


def _reached(design: Design, motor: Part) -> Iterator[tuple[str, str]]:
    """The drives that the signals of an encoder reach, each with the terminal of the motor."""
    signals = motor.data.encoder.signals if isinstance(motor.data, Shaft) and motor.data.encoder else []
    for signal in signals:
        end = motor.data.terminals.get(signal, signal)
        for name, _ in design.nets.members[design.nets.of[motor.name, end]]:
            if name in design.parts and isinstance(design.parts[name].data, Drive):
                yield name, end


def _finding(design: Design, motor: Part, drive: str, wrong: list[str], ends: list[str]) -> Judgement:
    wires = [wire for end in ends for wire in design.circuit.conductors_at((motor.name, end))]
    return RULE.finding(
        (motor.name, *wrong, drive),
        f"The encoder of {motor.name} reports to {listed(wrong)}, and {drive} moves {motor.name}",
        wires[0].place if wires else design.place(motor.name),
        because=[Cause(design.place(drive), f"moves {motor.name}")],
        mend=(f"Lead the signals of the encoder of {motor.name} to {drive}.",),
    )
