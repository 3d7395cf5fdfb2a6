"""Every single fault and every pair of six circuits enumerated by ngspice: no danger missed, none told that is none.

The circuits stand in this room with their reasons; `spice_play` plays them apart from the package.
"""

from __future__ import annotations

from itertools import chain, combinations

import pytest
from circuits import SEAL
from helpers import design
from operated import button, one_contactor
from spice import need_ngspice
from spice_play import Bench, Player, read
from test_categories import TWO_BY_HAND
from test_hands_and_later_faults import REMEMBERED
from test_more_faults import COPIED

from wiring.control.verdicts import Verdict
from wiring.design.stop.proof import full_proof

CIRCUITS = {
    "a contactor sealed in": SEAL,
    "its seal through a copying relay": COPIED,
    "a jog button beside the start": one_contactor(
        button("S2") + button("S9"),
        "X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 S1:12>S9:13 S9:14>K1:A1",
    ),
    "a relay that remembers its start": REMEMBERED,
    "two contactors without a unit": TWO_BY_HAND,
    "two contactors that nobody looks at": TWO_BY_HAND.replace("to: 'K2:21'", "to: 'K1:A1'").replace(
        "to: 'K1:31'", "to: 'K2:A1'"
    ),
}


@pytest.mark.parametrize("name", CIRCUITS)
def test_single_faults_and_pairs(name: str) -> None:
    need_ngspice()
    text = CIRCUITS[name]
    result = full_proof(design(text).stopping).results["emergency"]
    faults = {one.fault.id: one.fault for one in result.verdicts}
    circuit = read(text)
    bench = Bench(circuit, faults.values())
    others = [one for one in circuit.buttons if one != "S1"]
    worked = [(), *chain(*(combinations(others, size) for size in range(1, len(others) + 1)))]
    [sound] = bench.run([Player(circuit, ()).play("S1", (), ["S2"], False)])
    assert sound == {"runs"}

    cases = [
        (fault, changed, late, first)
        for fault in faults.values()
        for changed in worked
        for late in (False, True)
        for first in (None, *circuit.coils)
    ]
    ends = bench.run([Player(circuit, (f,), first).play("S1", c, ["S2"], late) for f, c, late, first in cases])
    dangerous = {case[0].id for case, end in zip(cases, ends, strict=True) if end - {"runs"}}
    assert {one.fault.id for one in result.verdicts if one.verdict is Verdict.DANGEROUS} == dangerous

    runs = {
        case[0].id for case, end in zip(cases, ends, strict=True) if case[1:] == ((), False, None) and "runs" in end
    }
    usable = [name for name, fault in faults.items() if name not in dangerous and not fault.excluded]
    pairs = [pair for pair in combinations(usable, 2) if runs & set(pair)]
    ends = bench.run([Player(circuit, [faults[one] for one in pair]).play("S1", (), ["S2"], False) for pair in pairs])
    hits = {frozenset(pair) for pair, end in zip(pairs, ends, strict=True) if end - {"runs"}}
    told = {frozenset((one.fault.id, second)) for one in result.hidden for second in one.next}
    assert told <= hits
    assert {one.fault.id for one in result.hidden} == {name for name in runs if any(name in pair for pair in hits)}
