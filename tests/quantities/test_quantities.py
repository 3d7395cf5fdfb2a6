"""Reading and printing of quantities. Values follow from the definitions of the units named beside them."""

from __future__ import annotations

from math import floor, isclose, log10, pi

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from wiring.quantities import (
    QuantityError,
    parse,
    parse_lengths,
    parse_range,
    parse_wire_size,
    parse_wire_size_range,
    show,
)
from wiring.units import DIMENSIONS


@pytest.mark.parametrize(
    ("text", "dimension", "value", "qualifier"),
    [
        ("4.2 A peak", "current", 4.2, "peak"),
        ("3 A rms", "current", 3.0, "rms"),
        ("24 V DC", "voltage", 24.0, "DC"),
        ("24V DC", "voltage", 24.0, "DC"),
        ("2.5mm2", "area", 2.5e-6, ""),
        ("2.5 mm²", "area", 2.5e-6, ""),
        ("470 µF", "capacitance", 470e-6, ""),
        ("470 μF", "capacitance", 470e-6, ""),
        ("470 uF", "capacitance", 470e-6, ""),
        ("0.75 Ω", "resistance", 0.75, ""),
        ("0.75 mΩ", "resistance", 0.75e-3, ""),
        ("0.4 N.m", "torque", 0.4, ""),
        ("0.4 N*m", "torque", 0.4, ""),
        ("0.8 kg·cm²", "inertia", 0.8e-4, ""),
        ("0.8 kg.cm2", "inertia", 0.8e-4, ""),
        ("60 rpm", "rotational speed", 2 * pi, ""),
        ("95 °F", "temperature", 35.0, ""),
        ("-40 degF", "temperature", -40.0, ""),
        ("80 %", "fraction", 0.8, ""),
        ("2.5 %/K", "slope per kelvin", 0.025, ""),
        ("1e3 A", "current", 1000.0, ""),
        (".5 A", "current", 0.5, ""),
        ("36 m³/h", "flow", 0.01, ""),
        ("60 l/min", "flow", 0.001, ""),
        ("200 A²s", "let-through energy", 200.0, ""),
        ("90 deg", "angle", pi / 2, ""),
        ("1 psi", "pressure", 6894.757293168, ""),  # NIST SP 811, appendix B.9: 6.894757 E+03
        ("1 hp", "power", 745.6998715822702, ""),  # NIST SP 811, appendix B.9: 7.456999 E+02
    ],
)
def test_reads(text: str, dimension: str, value: float, qualifier: str) -> None:
    quantity = parse(text, dimension)
    assert isclose(quantity.value, value, rel_tol=1e-9)
    assert quantity.qualifier == qualifier
    assert quantity.text == text


@pytest.mark.parametrize(
    ("text", "dimension", "problem", "expected"),
    [
        ("2.5", "area", "'2.5' needs a unit", "a cross-section is written for example 2.5 mm2"),
        ("0.8", "fraction", "'0.8' needs a unit", "a share in percent is written for example 80 %"),
        ("4 V", "current", "4 V is a voltage", "a current, for example 4 A"),
        ("4 mm", "area", "4 mm is a length", "a cross-section, for example 4 mm2"),
        (
            "2,5 mm2",
            "area",
            "'2,5 mm2' has a comma in its number",
            "numbers have a decimal point and no separator for thousands, such as 2.5 or 1000",
        ),
        ("24 VDC", "voltage", "'24 VDC' has the unknown unit 'VDC'", "a space belongs before DC: 24 V DC"),
        ("2 m peak", "length", "peak has no meaning in '2 m peak'", "a length is written for example 0.5 m"),
        ("", "current", "'' is not a quantity", "a current with its unit is expected, for example 4 A"),
        ("four A", "current", "'four A' is not a quantity", "a current with its unit is expected, for example 4 A"),
        (
            "1e999 A",
            "current",
            "'1e999 A' is larger than any number that can be computed with",
            "a current with its unit is expected, for example 4 A",
        ),
        (
            "1e308 kA",
            "current",
            "'1e308 kA' is larger than any number that can be computed with",
            "a current with its unit is expected, for example 4 A",
        ),
    ],
)
def test_refuses_in_plain_words(text: str, dimension: str, problem: str, expected: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, dimension)
    assert (caught.value.problem, caught.value.expected) == (problem, expected)


@pytest.mark.parametrize(("text", "near"), [("3 kNn", "kN"), ("4 n", "N"), ("4 Newton", "N")])
def test_names_the_nearest_unit(text: str, near: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, "force")
    assert "has the unknown unit" in caught.value.problem
    assert caught.value.expected.startswith("a force is written with N, mN, kN, lbf")
    assert caught.value.expected.endswith(f"the nearest known is {near}") or text == "4 Newton"


def test_unit_case_matters() -> None:
    assert parse("1 mohm", "resistance").value == 1e-3
    assert parse("1 Mohm", "resistance").value == 1e6


def test_unknown_dimension_is_an_error_of_the_caller() -> None:
    with pytest.raises(ValueError, match="no dimension 'colour'"):
        parse("1 A", "colour")


def test_ranges() -> None:
    low, high = parse_range("24..48 V DC", "voltage")
    assert (low.value, high.value, low.qualifier, high.qualifier) == (24.0, 48.0, "DC", "DC")
    assert [end.value for end in parse_range("500 mA..2.5 A", "current")] == [0.5, 2.5]
    assert [end.value for end in parse_range("-10..10 V", "voltage")] == [-10.0, 10.0]
    assert [end.value for end in parse_range("230 V AC", "voltage")] == [230.0, 230.0]


@pytest.mark.parametrize("text", ["48..24 V", "24..48", "24.. V", "..48 V", "24..48..60 V", "24 V AC..48 V DC", ".."])
def test_refuses_ranges(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_range(text, "voltage")


def test_lengths() -> None:
    assert parse_lengths("500 x 400 x 210 mm", 3) == (0.5, 0.4, 0.21)
    assert parse_lengths("40x60 mm", 2) == (0.04, 0.06)
    assert parse_lengths("0.5 m × 60 mm", 2) == (0.5, 0.06)


@pytest.mark.parametrize("text", ["500 mm", "500 x 400", "500 x 400 mm", "a x b x c mm", "1 x 2 x 3 V", "", "x x x"])
def test_refuses_lengths(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_lengths(text, 3)


@pytest.mark.parametrize(
    ("text", "system", "label", "area_mm2"),
    [
        ("1.5 mm2", "mm2", "1.5", 1.5),
        ("1.50 mm²", "mm2", "1.5", 1.5),
        # ASTM B258 as tabulated in NFPA 70 chapter 9 table 8: 16 AWG 1.31 mm2, 14 AWG 2.08 mm2, 1/0 AWG 53.49 mm2,
        # 4/0 AWG 107.2 mm2 (solid, nominal), 250 kcmil 127 mm2.
        ("16 AWG", "awg", "16", 1.31),
        ("14 AWG", "awg", "14", 2.08),
        ("AWG 14", "awg", "14", 2.08),
        ("1/0 AWG", "awg", "1/0", 53.49),
        ("0 AWG", "awg", "1/0", 53.49),
        ("4/0 AWG", "awg", "4/0", 107.2),
        ("250 kcmil", "kcmil", "250", 127.0),
    ],
)
def test_wire_sizes(text: str, system: str, label: str, area_mm2: float) -> None:
    size = parse_wire_size(text)
    assert (size.system, size.label, size.text) == (system, label, text)
    assert isclose(size.area_mm2, area_mm2, rel_tol=4e-3)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("1.5", "'1.5' needs a unit"),
        ("1/0", "'1/0' needs a unit"),
        ("1,5 mm2", "'1,5 mm2' has a comma in its number"),
        ("4 V", "4 V is a voltage"),
        ("0 mm2", "'0 mm2' is no size of a conductor"),
        ("5/0 AWG", "'5/0 AWG' is no wire gauge"),
        ("41 AWG", "'41 AWG' is no wire gauge"),
        ("1.5 AWG", "'1.5 AWG' is no wire gauge"),
        ("2/0 mm2", "'2/0 mm2' is no conductor size"),
        ("9000 kcmil", "'9000 kcmil' is no size of a conductor"),
        ("0.01 in2", "'0.01 in2' is no conductor size"),
    ],
)
def test_refuses_wire_sizes(text: str, problem: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_wire_size(text)
    assert caught.value.problem == problem


def test_wire_size_ranges() -> None:
    assert [size.label for size in parse_wire_size_range("0.2..2.5 mm2")] == ["0.2", "2.5"]
    assert [size.label for size in parse_wire_size_range("22..12 AWG")] == ["22", "12"]
    assert [size.label for size in parse_wire_size_range("14..1/0 AWG")] == ["14", "1/0"]
    assert [size.label for size in parse_wire_size_range("22 AWG..12 AWG")] == ["22", "12"]


@pytest.mark.parametrize("text", ["2.5 mm2", "2.5..0.2 mm2", "12..22 AWG", "22 AWG..2.5 mm2", "0.2..2.5", ".. mm2"])
def test_refuses_wire_size_ranges(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_wire_size_range(text)


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (4.2, "current", "4.2 A"),
        (470e-6, "capacitance", "470 µF"),
        (1.5e-6, "area", "1.5 mm2"),
        (0.63, "resistance", "0.63 ohm"),
        (35.0, "temperature", "35 °C"),
        (1000.0, "current", "1.0 kA"),
        (0.0124, "voltage", "12.4 mV"),
        (0.0, "current", "0 A"),
        (-5.0, "temperature", "-5.0 °C"),
        (999.96, "current", "1.0 kA"),
        (20 * pi, "rotational speed", "600 rpm"),
        (0.8, "fraction", "80 %"),
        (1 / 3, "length", "0.333 m"),
        (1425 * pi / 30, "rotational speed", "1425 rpm"),
        (6.8875, "current", "6.89 A"),
        (5613.2, "let-through energy", "5610 A2s"),
    ],
)
def test_shows(value: float, dimension: str, text: str) -> None:
    assert show(value, dimension) == text


def three_digits(value: float) -> float:
    """Half a unit in the third significant digit."""
    return 0.5 * 10.0 ** (floor(log10(abs(value))) - 2) if value else 0.0


@given(st.sampled_from(sorted(DIMENSIONS)), st.floats(-1e9, 1e9).filter(lambda value: value == 0 or abs(value) > 1e-12))
def test_shown_text_reads_back_to_three_digits(dimension: str, value: float) -> None:
    assume(DIMENSIONS[dimension].has_sense(value) and DIMENSIONS[dimension].has_sense(value * 1.001))
    text = show(value, dimension)
    unit = next(unit for unit in (text.split(" ", 1)[1].replace("µ", "u"),))
    step = three_digits(value / DIMENSIONS[dimension].units[unit]) * DIMENSIONS[dimension].units[unit]
    assert abs(parse(text, dimension).value - value) <= 1.0001 * step


@given(st.text(max_size=30), st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_is_read_or_refused(text: str, dimension: str) -> None:
    readers = (
        lambda: parse(text, dimension),
        lambda: parse_range(text, dimension),
        lambda: parse_lengths(text, 2),
        lambda: parse_wire_size(text),
        lambda: parse_wire_size_range(text),
    )
    for reader in readers:
        try:
            reader()
        except QuantityError as error:
            assert error.problem  # noqa: PT017 - refusing is as right as reading
            assert error.expected  # noqa: PT017


UNIT_WORDS = sorted({unit for dimension in DIMENSIONS.values() for unit in dimension.units})


@given(
    st.sampled_from(["", "-", "+", "1", "2.5", "1e9", "1e400", "1/0", "..", "1,5", "007"]),
    st.sampled_from([*UNIT_WORDS, "", "AWG", "kcmil", "DC", "x"]),
    st.sampled_from(["", " ", " DC", " peak", "..", " x ", "..2 V", "\u00a0"]),
    st.sampled_from(sorted(DIMENSIONS)),
)
def test_anything_like_a_quantity_is_read_or_refused(number: str, unit: str, tail: str, dimension: str) -> None:
    test_any_text_is_read_or_refused.hypothesis.inner_test(f"{number} {unit}{tail}", dimension)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [(77, 25), (86, 30), (95, 35), (104, 40), (113, 45), (122, 50), (131, 55), (140, 60), (158, 70), (-4, -20)],
)
def test_degrees_fahrenheit_that_end_a_printed_band_are_whole_degrees_celsius(fahrenheit, celsius):
    """NFPA 70 table 310.15(B)(1) prints its bands in both: 114-122 °F beside 46-50 °C."""
    assert parse(f"{fahrenheit} °F", "temperature").value == celsius


@pytest.mark.parametrize(
    ("text", "dimension", "said"),
    [
        ("1e307 m", "length", "a length of 10000 m at most"),
        ("1 MA", "current", ""),
        ("1000 kA", "current", "a current of 200 kA at most"),
        ("1e300 V", "voltage", "a voltage of 200 kV at most"),
        ("-400 °C", "temperature", "from -273 °C to 3000 °C"),
        ("-460 °F", "temperature", "from -273 °C to 3000 °C"),
        ("1e-300 ohm", "resistance", "at least, or zero"),
        ("1e9 rpm", "rotational speed", "at most"),
        ("-1e9 rpm", "rotational speed", "at most"),
        ("5000 %", "fraction", "a share in percent of 1000 % at most"),
    ],
)
def test_what_no_machine_has_is_refused_with_the_bound(text: str, dimension: str, said: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse(text, dimension)
    assert said in refused.value.expected


@pytest.mark.parametrize("dimension", sorted(DIMENSIONS))
def test_both_bounds_are_read_and_what_lies_beyond_is_not(dimension: str) -> None:
    known = DIMENSIONS[dimension]
    unit, factor = next((unit, factor) for unit, factor in known.units.items() if unit not in known.scales)
    for bound, outwards in zip(known.bounds, (1.001 if known.scales else 0.999, 1.001), strict=True):
        assert parse(f"{bound / outwards / factor!r} {unit}", dimension).value == pytest.approx(bound, rel=2e-3)
        with pytest.raises(QuantityError):
            parse(f"{bound * outwards / factor!r} {unit}", dimension)
