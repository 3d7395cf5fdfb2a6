"""A stop parts a machine from some of its lines and leaves it on another one.

One phase of an inverter or a heater was taken ahead of the contactors: the others open, no current flows, and the
machine stands. Its terminals stay live all the same, and one earth fault behind the contactors closes a circuit past
them. Every line of what a stop must remove is led through the contacts (IEC 60204-1, 9.2.2 and 9.4.3.1).

Fires on mixer at M2
    stops.emergency={devices: [S1], category: 0, removes: [M2]}
    parts.S1={kind: emergency-stop, contacts: {11-12: NC direct}}
    parts.K1={kind: contactor, poles: 3, coil: 400 V AC 8 VA}
    wires+={wire: 20, from: F3:2, to: K1:1, type: line}
    wires+={wire: 21, from: F3:4, to: K1:3, type: line}
    wires+={wire: 22, from: F3:6, to: K1:5, type: line}
    wires+={wire: 23, through: [F3:2, S1:11], type: line}
    wires+={wire: 24, from: S1:12, to: K1:A1, type: line}
    wires+={wire: 25, from: K1:A2, to: F3:4, type: line}
    C2.join.1=[K1:2, M2:U]
    C2.join.2=[K1:4, M2:V]
    C2.join.3=[F3:6, M2:W]
Quiet
    C2.join.3=[K1:6, M2:W]
Not judged
    A machine without stops, and drives whose torque alone is taken away.
Known limits
    The neutral of a single-phase load may stay, and so may the earthed side of a rail.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.circuit.model import named
from wiring.design.stop.poles_left import PoleLeft, poles_left
from wiring.findings import Cause, Finding
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import does, listed

RULE = Rule(
    slug="stop-leaves-pole",
    title="Stop leaves one line connected",
    signal=Signal.WARNING,
    harm="Terminals stay live behind an open contactor, and one earth fault there feeds the machine past the stop.",
    sources=(("iec", iec_60204("9.4.3.1")), ("na", nfpa_79("9.4.3"))),
)


def check(design: Design) -> Judgements:
    """Each hazard with the lines that stops leave, told together for all stops and devices that do."""
    for one in poles_left(design.stopping):
        yield Item((one.hazard, one.terminals), one, partial(_finding, design), holds=scope("pole", one.hazard))


def _finding(design: Design, rows: Sequence[PoleLeft]) -> Finding:
    first = rows[0]
    stops, devices = (list(dict.fromkeys(names)) for names in ([r.stop for r in rows], [r.device for r in rows]))
    wires = [design.circuit.conductor[name] for name in first.conductors]
    ends = listed([named(end) for end in first.terminals])
    return RULE.finding(
        (
            first.hazard,
            *dict.fromkeys(end[0] for end in first.terminals if end[0] != first.hazard),
            *first.conductors,
            *devices,
            *stops,
        ),
        f"{does(devices, 'parts', 'part')} {first.hazard} from some of its lines and leaves {ends} on another, by "
        f"{listed(first.conductors)}",
        wires[0].place if wires else design.place(first.hazard),
        because=(Cause(design.place(first.terminals[0][0]), "stays on a line"),),
        mend=(f"Lead {listed(first.conductors)} through the contacts that open the other lines.",),
    )
