"""What is wrong with a part is said at its place, in words that tell what was expected."""

from __future__ import annotations

import pytest

from tests.parts.plans import FIRST, HEAD, one, resolve
from wiring.parts.resolve import resolve_parts
from wiring.plan.read import read, read_text

#: A part, the text in it at which its one fault stands, words of the fault, and the nearest word that it offers.
BROKEN = (
    ("P: {kind: suply, input: 230 V AC}", "suply", "no kind of part 'suply'", "supply"),
    ("P: {kind: stepper_drive}", "stepper_drive", "no kind of part", "stepper-drive"),
    ("P: {use: suply-24v-5a}", "suply-24v-5a", "no library part 'suply-24v-5a'", "supply-24v-5a"),
    ("P: {rated: 5 A}", "{", "neither its kind nor a library part", ""),
    ("P: {kind: supply, use: supply-24v-5a}", "{", "both its kind and a library part", ""),
    ("P: 5", "5", "a part is a mapping", ""),
    ("'P 1': {kind: metalwork}", "'P 1'", "is not a name", ""),
    ("'P:1': {kind: metalwork}", "'P:1'", "is not a name", ""),
    ("P: {kind: fuse, rating: 2 A, ratedvoltage: 60 V}", "ratedvoltage", "is not a key here", "rated_voltage"),
    ("P: {kind: fuse, rating: 2}", "2}", "needs a unit", ""),
    ("P: {kind: fuse, rating: 2 V}", "2 V", "is a voltage", ""),
    ("P: {kind: breaker, curve: C}", "{", "P has no `rating`", ""),
    ("P: {kind: fuse, rating: 0 A}", "0 A", "'0 A' is zero", ""),
    ("P: {kind: fuse, rating: 1e300 A}", "1e300", "more than any machine has", ""),
    ("P: {kind: fuse, rating: 2 A, poles: 5}", "5}", "cannot stand here", ""),
    ("P: {use: supply-24v-5a, rated: 5 V}", "5 V", "is a voltage", ""),
    ("P: {use: supply-24v-5a, efficiency: 110 %}", "110", "is too much", ""),
    ("P: {use: supply-24v-5a, standing: typical}", "standing", "is not a key here", ""),
    ("P: {use: supply-24v-5a, terminals: {Vx+: '+'}}", "Vx+", "no terminal 'Vx+'", "V+"),
    ("P: {use: supply-24v-5a, terminals: {V+: L}}", "V+: L", "stand at two terminals", ""),
    ("P: {use: supply-24v-5a, terminals: {V+: 'a b'}}", "V+:", "is no marking", ""),
    ("P: {use: supply-24v-5a, terminals: {V+: .x}}", "V+:", "is no marking", ""),
    ("P: {kind: contactor, coil: 24 V DC 3 W, contacts: {5-14: NO}}", "5-14", "5 stands for 2 different", ""),
    ("P: {kind: relay, coil: 24 V DC 3 W, contacts: {A1-14: NO}}", "A1-14", "A1 stands for 2 different", ""),
    ("P: {kind: relay, coil: 24 V DC 3 W, contacts: {13-14: NO, 13-24: NO}}", "13-24", "share terminal 13", ""),
    ("P: {kind: relay, coil: 24 V DC 3 W, contacts: {13-13: NO}}", "13-13", "with itself", ""),
    ("P: {kind: relay, coil: 24 V DC 3 W, contacts: {13: NO}}", "13:", "no pair of terminals", ""),
    ("P: {kind: relay, coil: 24 V DC 3 W, contacts: {13-14: NX}}", "NX", "no contact", ""),
    ("P: {kind: relay, coil: 24 V DC 3 W, contacts: {13-14: NO slow}}", "NO slow", "no contact", ""),
    ("P: {kind: limit-switch, contacts: {}}", "{}", "`contacts`", ""),
    ("P: {kind: terminals, points: 4, bridged: [1-6]}", "P", "has not: 5, 6", ""),
    ("P: {kind: terminals, points: 0}", "0}", "out of bounds", ""),
    ("P: {kind: terminals, points: 999999}", "999999}", "out of bounds", ""),
    ("P: {kind: io-card, outputs: {R1: relay}}", "R1", "no pair of terminals", ""),
    ("P: {kind: io-card, outputs: {1-2: relay, 2-1: relay}}", "2-1", "1-2 and 2-1 stand between the same", ""),
    ("P: {kind: io-card, outputs: {1-1: relay}}", "1-1", "with itself", ""),
    ("P: {kind: temperature-controller, supply: 230 V AC 3 W, outputs: {1-2: relay, 2-1: relay}}", "2-1",
     "1-2 and 2-1 stand between the same", ""),
    ("P: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S12-S11], outputs: [13-14]}", "channels",
     "S11-S12 and S12-S11 stand between the same", ""),
    ("P: {kind: io-card, inputs: {I1: snk}}", "snk", "no kind of input", ""),
    ("P: {kind: load, rated: 24 V DC 3 W, between: [a, a]}", "{", "one terminal", ""),
    ("P: {kind: device, points: {a: plus, b: minus}, loads: [{between: [a, b], resistance: 0 ohm}]}", "0 ohm",
     "is zero", ""),
    ("P: {kind: device, points: {a: plus}, loads: [{between: [a, b], power: 3 W}]}", "{", "not one of its points", ""),
    ("P: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12], outputs: [S12-14]}", "outputs",
     "shares a terminal", ""),
    ("P: {kind: stepper-motor, phase_current: 4 A, phase_resistance: 1 ohm}", "4 A", "which value of the current", ""),
)  # fmt: skip


@pytest.mark.parametrize(("line", "at", "words", "near"), BROKEN, ids=[row[0][:60] for row in BROKEN])
def test_a_broken_part_has_one_fault_at_its_place(line, at, words, near):
    parts, faults = resolve(line)
    assert parts == {}
    (fault,) = faults
    assert (fault.place.file, fault.place.line) == ("plan.yaml", FIRST)
    assert fault.place.column == 3 + line.index(at)
    assert words in fault.summary
    assert fault.expected
    assert near == "" or near == fault.near[0]


def test_all_faults_of_all_parts_come_at_once():
    parts, faults = resolve(
        "A: {kind: fuse, rating: 2, class: T}",
        "B: {kind: lamp, rated: 24 V DC 20 mA}",
        "C: {use: nothing-known}",
        "D: {kind: fuse, rating: 2 A, colour: RD, poles: 9}",
    )
    assert list(parts) == ["B"]
    assert [fault.place.line for fault in faults] == [5, 7, 8, 8]


def test_parts_are_judged_when_the_rest_of_the_plan_is_broken():
    reading = read_text(
        HEAD.replace("rulebook: iec", "rulebook: none") + "  P: {kind: fuse, rating: 2 V}\n", "plan.yaml"
    )
    faults: list = []
    resolve_parts(reading, faults)
    assert reading.plan is None
    assert [fault.place.line for fault in faults] == [5]


def test_a_plan_that_is_no_mapping_gives_no_parts():
    for text in ("", "[]", "parts: 5", "parts: [a]", "parts: {a: }", "library: {a: b}\nparts: {}", "library: 5"):
        faults: list = []
        assert resolve_parts(read_text(text), faults) == {}


def test_the_coil_winder_resolves_without_a_fault():
    reading = read("specs/coil-winder.yaml")
    faults = list(reading.faults)
    parts = resolve_parts(reading, faults)
    assert faults == []
    assert list(parts) == list(reading.tree.data["parts"])
    assert parts["G1"].data.rated == 9.7
    assert parts["K1"].place == reading.place("parts", "K1")


def test_the_bench_press_feeder_resolves_without_a_fault():
    reading = read("specs/bench-press-feeder.yaml")
    faults = list(reading.faults)
    parts = resolve_parts(reading, faults)
    assert faults == []
    assert list(parts) == list(reading.tree.data["parts"])
    assert (parts["G1"].library, parts["G1"].title) == ("supply-24v-10a", "motor supply")


def test_the_plan_wins_over_the_library():
    part = one("{use: supply-24v-5a, rated: 4 A, title: mine}")
    assert (part.data.rated, part.title, part.data.output.volts) == (4.0, "mine", 24.0)
    assert (part.library, part.kind) == ("supply-24v-5a", "supply")


def test_nested_data_are_replaced_whole():
    """A plan that gives an overload mode gives all of it: the library's limit does not stay behind."""
    _, faults = resolve("P: {use: supply-24v-5a, overload: {mode: hiccup}}")
    (fault,) = faults
    assert "`limit`" in fault.summary
    part = one("{use: contactor-9a-24v-dc, contacts: {31-32: NC}}")
    assert {"31", "32"} <= set(part.terminals)
    assert "13" not in part.terminals


def test_a_plan_with_more_terminals_than_any_machine_is_refused_once():
    lines = [f"X{n}: {{kind: terminals, points: 1000}}" for n in range(200)]
    parts, faults = resolve(*lines)
    [fault] = faults
    assert "50,000 terminals" in fault.summary
    assert fault.place.line == FIRST + 50
    assert len(parts) == 51
