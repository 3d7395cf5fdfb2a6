"""A stop takes away one safe-torque-off input of a drive and leaves another one fed.

A drive with two of them stops when either falls, so the machine stands still and nobody misses the second. It is one
channel from there on: the contact that is left may weld, and the drive runs on. Every input that disables torque must
be removed by every stop that rests on it, each by contacts of its own.

Fires on hot-wire at D1
    parts.D1={kind: inverter, supply: 230 V AC, rated: 750 W, sto: [STO1+-STO1-, STO2+-STO2-]}
    parts.M1={kind: motor, voltage: 230 V AC, rated_power: 500 W}
    wires+={wire: L6, from: F1:2, to: D1:L, type: line}
    wires+={wire: N3, from: G4:N, to: D1:N, type: neutral}
    wires+={wire: 30, from: D1:U, to: M1:U, type: line}
    wires+={wire: 31, from: D1:V, to: M1:V, type: line}
    wires+={wire: 32, from: D1:W, to: M1:W, type: line}
    wires+={wire: 33, from: K0:14, to: D1:STO1+, type: control}
    wires+={wire: 34, from: K0:A1, to: D1:STO2+, type: control}
    wires+={wire: 35, through: [K0:A2, D1:STO1-, D1:STO2-], type: control}
Quiet
    34.from=K0:24
Not judged
    A machine without stops. A drive whose power the stop takes away needs none of its torque-off inputs.
"""

from __future__ import annotations

from wiring.design.stop.channels import torque_off_left
from wiring.findings import Cause
from wiring.parts.elements import Coil
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing
from wiring.wording import does

RULE = Rule(
    slug="stop-torque-off-left",
    title="A stop leaves a safe-torque-off input fed",
    signal=Signal.WARNING,
    harm="One welded contact, and the axis runs on while someone reaches in.",
    sources=(
        ("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),
        ("both", Source("IEC 61800-5-2", "2016", "4.2.2.2", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Judgements:
    """One finding for each drive and stop, with all the devices that leave the same inputs."""
    found: dict[tuple[str, str, tuple[str, ...], tuple[str, ...]], list[str]] = {}
    for one in torque_off_left(design.stopping):
        found.setdefault((one.drive, one.stop, one.fed, one.motors), []).append(one.device)
    for (drive, stop, fed, motors), devices in found.items():
        coils = [coil for coil in design.parts[drive].of(Coil) if coil.moves in fed]
        names = " and ".join(f"{drive}:{coil.a}" for coil in coils)
        wires = tuple(wire.id for coil in coils for wire in design.circuit.conductors_at((drive, coil.a)))
        yield RULE.finding(
            (drive, *wires, *motors, *devices, stop),
            f"{does(devices, 'leaves', 'leave')} {names} fed: stop {stop} holds {', '.join(motors)} by one channel",
            design.circuit.conductor[wires[0]].place if wires else design.place(drive),
            because=[Cause(design.place(motor), "has one channel") for motor in motors],
            mend=(f"Feed {names} through an output contact of the stop relay of its own.",),
        )
