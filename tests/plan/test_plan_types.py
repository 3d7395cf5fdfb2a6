"""Types of single values. Expected numbers are worked out beside them."""

from __future__ import annotations

from math import isclose
from typing import Annotated, Any, get_origin

import pytest

from wiring.plan import ratings, records, types, words
from wiring.plan.colours import colour_name, read_colour, split_colour
from wiring.plan.fault import Fault
from wiring.plan.json_schema import json_schema
from wiring.plan.model import Model
from wiring.plan.ratings import PhaseCurrent, Rated, Voltage, VoltageRange
from wiring.plan.records import TerminalRef
from wiring.plan.source import Source
from wiring.plan.tree import read_tree
from wiring.plan.validate import validate
from wiring.plan.values import Written
from wiring.quantities import QuantityError

#: Every type of a single value by its name.
TYPES = {
    name: one
    for module in (types, words, ratings, records)
    for name, one in vars(module).items()
    if get_origin(one) is Annotated or (isinstance(one, type) and issubclass(one, Written) and one is not Written)
}


def model_of(annotation: Any) -> type[Model]:
    return type("One", (Model,), {"__annotations__": {"x": annotation}, "__module__": __name__})


def read_as(annotation: Any, text: str) -> tuple[Any, list[Fault]]:
    source = Source.of("plan", f"x: {text}\n")
    node, faults = read_tree(source, "\n".join(source.lines))
    assert node is not None
    one = validate(model_of(annotation), node, faults)
    return (one.x if one else None), faults  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("name", "text", "expected"),
    [
        ("Volts", "12.5 V", 12.5),
        ("Amperes", "20 mA", 0.02),
        ("Watts", "1.5 kW", 1500.0),
        ("VoltAmperes", "63 VA", 63.0),
        ("Ohms", "0.75 ohm", 0.75),
        ("Henries", "3.4 mH", 0.0034),
        ("Farads", "470 µF", 470e-6),
        ("Seconds", "200 ms", 0.2),
        ("Hertz", "50 Hz", 50.0),
        ("Metres", "500 mm", 0.5),
        ("Celsius", "35 °C", 35.0),
        ("NewtonMetres", "1.2 N·m", 1.2),
        ("RadiansPerSecond", "600 rpm", 62.83185307179586),  # 600 / 60 * 2 pi
        ("KilogramSquareMetres", "0.8 kg·cm2", 0.8e-4),
        ("Kilograms", "250 g", 0.25),
        ("Newtons", "150 N", 150.0),
        ("MetresPerSecond", "6 m/min", 0.1),
        ("Fraction", "80 %", 0.8),
        ("PerKelvin", "2.5 %/K", 0.025),
        ("Joules", "2 kJ", 2000.0),
        ("AmpereSquaredSeconds", "200 A2s", 200.0),
        ("Pascals", "6 bar", 6e5),
        ("Flow", "36 m3/h", 0.01),
        ("Radians", "180 deg", 3.141592653589793),
        ("Factor", "0.95", 0.95),
        ("Count", "12", 12),
        ("Flag", "true", True),
        ("Flag", "false", False),
        ("Protection", "IP54", "IP54"),
        ("Protection", "type 12", "type 12"),
        ("Protection", "Type 4X", "type 4X"),
        ("Colour", "gnye", "GNYE"),
        ("Insulation", "thhn", "THHN"),
    ],
)
def test_scalar_types(name: str, text: str, expected: object) -> None:
    value, faults = read_as(TYPES[name], text)
    assert not faults
    assert value == expected if not isinstance(expected, float) else isclose(value, expected, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("Volts", "-1 V"),
        ("Metres", "-1 m"),
        ("Amperes", "4 A peak"),
        ("Count", "1.5"),
        ("Count", "-1"),
        ("Count", "٣"),
        ("Factor", "nan"),
        ("Factor", "1e9"),
        ("Factor", "95 %"),
        ("Flag", "yes"),
        ("Flag", "True"),
        ("Flag", "1"),
        ("Fraction", "0.8"),
        ("Name", "A:B"),
        ("Name", "'a b'"),
        ("Name", "''"),
        ("Protection", "IP99X"),
        ("Protection", "type 99"),
        ("Colour", "BKBUGN"),
        ("Insulation", "paper"),
        ("WireSize", "2.5"),
        ("WireSizeRange", "2.5 mm2"),
        ("Poles", "5"),
        ("Pair", "40 mm"),
        ("CurrentRange", "2 A..1 A"),
        ("TerminalRef", "G1"),
        ("TerminalRef", "'G1:V +'"),
        ("TerminalRef", "':1'"),
        ("Volts", "[1 V]"),
        ("Voltage", "{a: 1 V}"),
    ],
)
def test_refused(name: str, text: str) -> None:
    value, faults = read_as(TYPES[name], text)
    assert value is None
    assert len(faults) == 1
    assert faults[0].place is not None
    assert (faults[0].place.line, faults[0].place.column) == (1, 4)
    assert faults[0].expected


def test_negative_where_it_has_a_meaning() -> None:
    assert read_as(types.Celsius, "-5 °C") == (-5.0, [])
    assert read_as(types.NewtonMetresSigned, "-0.4 N·m") == (-0.4, [])


def test_phase_current_conventions() -> None:
    """Effective value of a sine is its amplitude over the root of 2: 4.2 A / 1.41421356 = 2.96985 A."""
    peak, rms, rating = (PhaseCurrent.read(text) for text in ("4.2 A peak", "3 A rms", "3 A per-phase"))
    assert isclose(peak.rms_a, 2.9698484809834995)
    assert peak.peak_a == 4.2
    assert rms.rms_a == 3.0
    assert isclose(rms.peak_a, 4.242640687119286)
    assert (rating.rms_a, rating.convention) == (3.0, "per-phase")
    assert isclose(rating.peak_a, rms.peak_a)


@pytest.mark.parametrize("text", ["4.2 A", "4.2 A DC", "4.2 V peak", "-4 A rms", "3 A rms per-phase", "peak", ""])
def test_phase_current_needs_its_convention(text: str) -> None:
    with pytest.raises(ValueError):
        PhaseCurrent.read(text)


def test_rated() -> None:
    """3 W / 24 V = 0.125 A; 20 mA * 24 V = 0.48 W; 8 VA / 230 V = 34.78 mA."""
    coil, lamp, valve = (Rated.read(text) for text in ("24 V DC 3 W", "24 V DC 20 mA", "230 V AC 8 VA"))
    assert (coil.voltage, coil.current_a, coil.power_w) == (Voltage(24.0, "DC"), 0.125, 3.0)
    assert lamp.current_a == 0.02
    assert isclose(lamp.power_w, 0.48)
    assert isclose(valve.current_a, 0.034782608695652174)
    assert valve.va == 8.0
    assert Rated.read("24V 3W") == Rated(Voltage(24.0, ""), watts=3.0)


@pytest.mark.parametrize(
    "text", ["24 V", "3 W", "24 V DC", "24 V DC 3", "24 V DC 3 m", "0 V DC 3 W", "3 W 24 V", "24 V DC 3 W 4 A", ""]
)
def test_rated_is_refused(text: str) -> None:
    with pytest.raises((ValueError, QuantityError)):
        Rated.read(text)


def test_voltages() -> None:
    assert Voltage.read("230 V rms") == Voltage(230.0, "AC")
    assert Voltage.read("48 V") == Voltage(48.0, "")
    assert VoltageRange.read("24..48 V DC") == VoltageRange(24.0, 48.0, "DC")
    assert VoltageRange.read("230 V AC") == VoltageRange(230.0, 230.0, "AC")
    assert VoltageRange.read("-10..10 V") == VoltageRange(-10.0, 10.0, "")


def test_terminal_splits_at_the_first_colon() -> None:
    assert TerminalRef.read("A1:X2:3") == TerminalRef("A1", "X2:3")
    assert str(TerminalRef.read("G1:V+")) == "G1:V+"


def test_colours() -> None:
    """Letter codes of IEC 60757; the order of two colours is base, then stripe."""
    assert [read_colour(text) for text in ("bk", "GN-YE", "WH/BU", "dbu")] == ["BK", "GNYE", "WHBU", "DBU"]
    assert split_colour("WHBU") == ("WH", "BU")
    assert split_colour("DBU") == ("DBU", "")
    assert colour_name("GNYE") == "green-yellow"


@pytest.mark.parametrize("name", sorted(TYPES.keys() - {"Text"}))
def test_every_type_has_a_schema_with_words(name: str) -> None:
    schema = json_schema(model_of(TYPES[name]))["properties"]["x"]
    assert schema["type"]
    assert schema.get("description") or schema.get("examples") or schema.get("enum") or schema["type"] == "boolean"
