"""Every kind of part builds from little data, with standard terminals and elements between them."""

from __future__ import annotations

import pytest

from tests.parts.kind_examples import EXAMPLES
from tests.parts.plans import HEAD, one, resolve
from wiring.parts.base import Part, PartModel
from wiring.parts.elements import Coil, Link, Switch, Terminal
from wiring.parts.kinds import KIND_NAMES, all_kinds
from wiring.parts.resolve import resolve_parts
from wiring.plan.read import read_text

ENDS = ("a", "b", "plus", "minus", "terminal")
KINDS = sorted(EXAMPLES)


def ends_of(part: Part) -> set[str]:
    return {
        getattr(element, name)
        for element in part.elements
        for name in element.__struct_fields__
        if name in ENDS and getattr(element, name) is not None
    }


def test_every_kind_has_an_example():
    assert set(EXAMPLES) == set(KIND_NAMES) == set(all_kinds())


@pytest.mark.parametrize("kind", KINDS)
def test_terminals_have_the_standard_marking(kind):
    body, terminals = EXAMPLES[kind]
    part = one(body)
    assert part.kind == kind
    assert sorted(part.terminals) == sorted(terminals.split())
    assert all(isinstance(terminal, Terminal) for terminal in part.terminals.values())


@pytest.mark.parametrize("kind", KINDS)
def test_elements_stand_between_terminals_or_inner_points(kind):
    part = one(EXAMPLES[kind][0])
    assert all(end in part.terminals or end.startswith(".") for end in ends_of(part))


@pytest.mark.parametrize("kind", KINDS)
def test_every_terminal_takes_the_marking_of_the_real_part(kind):
    body, terminals = EXAMPLES[kind]
    names = terminals.split()
    renaming = ", ".join(f'"{name}": "Z{n}"' for n, name in enumerate(names))
    plain, renamed = one(body), one(f"{body[:-1]}, terminals: {{{renaming}}}}}")
    new = {name: f"Z{n}" for n, name in enumerate(names)}
    assert sorted(renamed.terminals) == sorted(new.values())
    assert {new[name]: plain.terminals[name].function for name in names} == {
        name: terminal.function for name, terminal in renamed.terminals.items()
    }
    assert ends_of(renamed) == {new.get(end, end) for end in ends_of(plain)}


@pytest.mark.parametrize("kind", KINDS)
def test_a_metal_part_names_its_earth_terminal(kind):
    part = one(EXAMPLES[kind][0])
    earth = part.data.earth_terminal()
    assert earth is None or earth in part.terminals


ODD_VALUES = (
    "0 V", "0 A", "0 W", "0 VA", "0 ohm", "0 %", "0 H", "0 F", "0 s", "0", "0 V DC", "0 A peak", "0..0 V DC", "0..0 A",
    "24 V DC 0 W", "24 V DC 0 A", "1e300 V", "1e300 A", "1e300 ohm", "1e-300 A", "1e-300 V", "1e300 V DC 1e300 W",
    "1e-300 V DC 1e300 W", "200 %", "-1 A", "999999", "[]", "{}", "[a]", "{a: b}", "[[]]", "~", "''", "a:b", "13-13",
)  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_no_value_of_any_key_breaks_the_reading(kind):
    """Whatever stands at a key, the part is built or a fault says why not; a fault has a place in the plan.

    What every part has is read alike in all: the first kind stands for it, but for the marking of terminals.
    """
    body = EXAMPLES[kind][0]
    model = all_kinds()[kind]
    common = PartModel.__annotations__.keys() - {"terminals"} if kind != KINDS[0] else set()
    own = {name for above in model.__mro__ if above is not PartModel for name in getattr(above, "__annotations__", ())}
    keys = sorted({field.alias or name for name, field in model.model_fields.items() if name not in common - own})
    example = read_text(f"{HEAD}  P: {body}\n")
    given = example.tree.data["parts"]["P"]
    for key in keys:
        for value in ODD_VALUES:
            if key == "points" and value == "999999":
                continue
            others = {name: item for name, item in given.items() if name != key}
            text = ", ".join([*(f"{name}: {flow(item)}" for name, item in others.items()), f"{key}: {value}"])
            reading = read_text(f"{HEAD}  P: {{{text}}}\n")
            faults = list(reading.faults)
            parts = resolve_parts(reading, faults)
            assert bool(faults) != ("P" in parts), text
            assert all(fault.place is not None and fault.place.line == 5 for fault in faults), text


def flow(value: object) -> str:
    """Data as YAML that stands in one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f'"{key}": {flow(item)}' for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(item) for item in value) + "]"
    return f'"{value}"'


def test_contact_words():
    part = one("{kind: relay, coil: 24 V DC 1 W, contacts: {13-14: NO, 21-22: NC mirror direct, 37-38: NO late}}")
    make, break_, late = part.of(Switch)
    assert (make.closed_at_rest, make.mirror, make.direct, make.late) == (False, False, False, False)
    assert (break_.closed_at_rest, break_.mirror, break_.direct, break_.late) == (True, True, True, False)
    assert (late.closed_at_rest, late.late) == (False, True)
    assert {make.actuator, break_.actuator, late.actuator} == {part.of(Coil)[0].moves}


def test_bridges_join_their_points_and_no_others():
    part = one("{kind: terminals, points: 6, bridged: [1-3, 5-6]}")
    assert [(link.a, link.b) for link in part.of(Link)] == [("1", "2"), ("2", "3"), ("5", "6")]


def test_pairs_may_end_in_a_minus():
    part = one("{kind: servo-drive, supply: 24..60 V DC, sto: [STO1+-STO1-]}")
    assert {"STO1+", "STO1-"} <= set(part.terminals)


def test_sizes_and_wires_per_terminal_reach_every_terminal():
    part = one("{kind: lamp, rated: 24 V DC 20 mA, sizes: 0.5..2.5 mm2, wires_per_terminal: 2}")
    assert {(t.sizes_mm2, t.wires_max) for t in part.terminals.values()} == {((0.5, 2.5), 2)}


def test_a_dc_coil_has_the_resistance_of_its_rating():
    """A coil of 24 V and 3 W is 24 V x 24 V / 3 W = 192 ohm (Ohm's law)."""
    coil = one("{kind: contactor, coil: 24 V DC 3 W}").of(Coil)[0]
    assert coil.ohm == pytest.approx(192.0)


def test_parts_come_in_the_order_of_the_plan():
    parts, _ = resolve("Z9: {kind: metalwork}", "A1: {kind: metalwork}", "M5: {kind: metalwork}")
    assert list(parts) == ["Z9", "A1", "M5"]


def test_the_poles_of_a_device_lie_beside_each_other_along_its_two_sides():
    """Line side odd, load side even (EN 50005, from memory), so 1 lies beside 3 and never beside 2; a row of terminals
    is one row. A1 and A2 lie beside each other above, or one above at 1 and one below at 2 (typical, from memory)."""
    contactor = one("{kind: contactor, coil: 24 V DC 3 W, contacts: {13-14: NO}}")
    above, below = (
        (("A1", "1"), ("1", "3"), ("3", "5"), ("5", "13")),
        (("A2", "2"), ("2", "4"), ("4", "6"), ("6", "14")),
    )
    assert contactor.beside == (("A1", "A2"), *above, *below)
    assert one('{kind: breaker, poles: 2, rating: 6 A, terminals: {"2": N}}').beside == (("1", "3"), ("N", "4"))
    assert one("{kind: terminals, points: 3}").beside == (("1", "2"), ("2", "3"))
