"""A drive stays in power after a category 1 stop, and nothing tells it to brake.

In category 1 power stays on so that the drive can bring its axis to rest (IEC 60204-1, 9.2.2). Where the run command is
taken from ahead of the stop, the drive goes on driving until the delay ends, and then the axis runs out. A contact
of the stop in the run command, or a controller that reads the stop and commands the drive, tells it; that a program
does so is asked, as no plan shows it.

Fires on hot-wire at T1
    K0.outputs=[33-34]
    K0.delayed=[13-14, 23-24]
    K0.delay=2 s
    stops.emergency.category=1
    stops.emergency.delay=2 s
    parts.T1={kind: inverter, supply: 230 V AC, rated: 0.75 kW, signals: 24 V DC, inputs: [FWD-DCOM]}
    parts.M1={kind: motor, voltage: 230 V AC, phases: 3, rated_power: 0.55 kW}
    wires+={wire: 40, from: K2:2, to: T1:L, type: line}
    wires+={wire: 41, from: Q1:4, to: T1:N, type: neutral}
    wires+={wire: 42, from: T1:U, to: M1:U, type: line}
    wires+={wire: 43, from: T1:V, to: M1:V, type: line}
    wires+={wire: 44, from: T1:W, to: M1:W, type: line}
    wires+={wire: 45, from: K0:A1, to: T1:FWD, type: control}
    wires+={wire: 46, from: T1:DCOM, to: K0:A2, type: control}
Quiet
    45.from=K0:34
    wires+={wire: 47, from: K0:A1, to: K0:33, type: control}
Not judged
    The ramp that is set in a drive. Stops of category 0 and 2.
Known limits
    Safety functions inside a drive that brake by themselves are not known.
"""

from __future__ import annotations

from wiring.design.stop.category_one import Untold, untold_drives
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.wording import does, listed

RULE = Rule(
    slug="drive-not-told-to-stop",
    title="Nothing tells a drive to brake",
    signal=Signal.WARNING,
    harm="The axis is driven on after the stop, and runs out when the power goes.",
    sources=(("iec", iec_60204("9.2.2", Standing.CONFIRMED)), ("na", nfpa_79("9.2.2"))),
)


def check(design: Design) -> Judgements:
    """Every drive that a category 1 stop leaves in power; those of one program are asked together."""
    asked: dict[tuple[str, ...], list[str]] = {}
    for one in untold_drives(design.stopping, design.operation.reachability):
        if one.programs:
            asked.setdefault(one.programs, []).extend((one.drive, one.stop))
        else:
            yield _finding(design, one)
    for programs, names in asked.items():
        yield from RULE.ask(names, f"whether the program of {listed(programs)} brakes them when the stop is called")


def _finding(design: Design, one: Untold) -> Judgement:
    stays = f": {does([f'{one.drive}:{end}' for end in one.inputs], 'stays', 'stay')} fed" if one.inputs else ""
    return RULE.finding(
        (one.drive, one.motor, one.stop),
        f"Stop {one.stop} leaves {one.drive} in power and does not tell it to brake {one.motor}{stays}",
        design.place(one.drive),
        mend=(f"Lead the run command of {one.drive} through a contact that stop {one.stop} opens without delay.",),
    )
