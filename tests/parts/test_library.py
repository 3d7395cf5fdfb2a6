"""The generic library: every entry loads, says its standing, names no maker, and lies in the range of its class."""

from __future__ import annotations

import re
from itertools import product
from math import pi

import pytest

from tests.parts.plans import resolve
from wiring.parts import library_index
from wiring.parts.library_index import PACKAGED, STANDINGS, packaged_entry, packaged_index
from wiring.parts.resolve import resolve_parts
from wiring.plan.read import read_text
from wiring.plan.tree import load_tree

KEYS = sorted(packaged_index())
#: Ranges of stepper motors by frame: phase current [A], resistance [ohm], inductance [H], holding torque [N·m].
#: Common practice, no source.
STEPPER_RANGES = {
    "17": ((1.0, 2.0), (1.0, 3.0), (2e-3, 5e-3), (0.3, 0.6)),
    "23": ((2.8, 5.0), (0.4, 1.2), (1.5e-3, 5e-3), (1.0, 3.0)),
    "24": ((2.8, 5.0), (0.4, 1.2), (1.5e-3, 5e-3), (1.0, 4.0)),
    "34": ((4.0, 6.0), (0.5, 1.0), (4e-3, 10e-3), (4.0, 12.0)),
}
#: Words with a capital that the free text of an entry may hold: units, standards, classes, conductors.
#: The name of a maker, a series or a person has no place in it.
PLAIN_CAPITALS = {
    "IEC",
    "Ah",
    "°C",
    "K",
    "UL",
    "DC",
    "AC",
    "V",
    "A",
    "W",
    "VA",
    "N·m",
    "kW",
    "mA",
    "mF",
    "B",
    "C",
    "D",
    "T",
    "CC",
    "M12",
    "gG",
}


@pytest.fixture(scope="module")
def parts():
    resolved, faults = resolve(*(f"'{key}': {{use: {key}}}" for key in KEYS))
    assert not faults, "\n".join(str(fault) for fault in faults)
    return resolved


def of_kind(parts, kind):
    return {key: part.data for key, part in parts.items() if part.kind == kind}


def test_every_entry_loads(parts):
    assert len(KEYS) >= 45
    assert sorted(parts) == KEYS


def test_the_index_is_what_the_files_hold():
    """The index is read off the beginnings of lines; the files read as YAML hold the same keys, each once.

    A key with names in braces stands for every combination of the lists that it names.
    """
    held = []
    for path in sorted(PACKAGED.glob("*.yaml")):
        _, tree, faults = load_tree(path)
        assert faults == []
        for key, node in tree.entries():
            names = re.findall(r"{(\w+)}", key)
            for values in product(*(node.data[name] for name in names)):
                filled = key
                for name, value in zip(names, values, strict=True):
                    filled = filled.replace(f"{{{name}}}", value.lower())
                held.append((filled, path))
    assert dict(held) == dict(packaged_index())
    assert len(held) == len(dict(held))


@pytest.mark.parametrize("key", KEYS)
def test_every_entry_says_its_standing_and_source(key):
    entry = packaged_entry(key)
    assert entry.standing in STANDINGS
    assert len(entry.source) > 5
    assert "title" in entry.data


@pytest.mark.parametrize("key", KEYS)
def test_no_entry_names_a_maker(key):
    entry = packaged_entry(key)
    assert {"order", "price", "note"}.isdisjoint(entry.data)
    words = re.findall(r"[^\s,;]+", f"{entry.data['title']} {entry.source}")
    assert {word for word in words if re.search(r"[A-Z]", word)} <= PLAIN_CAPITALS


def test_supplies_have_an_efficiency_of_their_class(parts):
    supplies = of_kind(parts, "supply")
    assert {supply.output.volts for supply in supplies.values()} == {5, 12, 24, 36, 48, 72}
    for key, supply in supplies.items():
        assert 0.7 <= supply.efficiency <= 0.97, key
        lines = "-400v" if supply.input.low > 240.0 else ""
        assert key == f"supply-{supply.output.volts:g}v-{supply.rated:g}a{lines}"
        assert supply.overload.limit >= 1.0


def test_stepper_motors_are_in_the_range_of_their_frame(parts):
    motors = of_kind(parts, "stepper-motor")
    assert {key.split("-")[2] for key in motors} == set(STEPPER_RANGES)
    for key, motor in motors.items():
        values = (motor.phase_current.amps, motor.phase_resistance, motor.phase_inductance, motor.holding_torque)
        for value, (low, high) in zip(values, STEPPER_RANGES[key.split("-")[2]], strict=True):
            assert low <= value <= high * (1 + 1e-9), key


def test_servo_motors_give_their_rated_power_at_3000_rpm(parts):
    """Power is torque times speed: P = T w, with w = 2 pi 3000/60 = 314.16 rad/s."""
    motors = of_kind(parts, "servo-motor")
    assert {int(motor.rated_power) for motor in motors.values()} == {100, 200, 400, 750}
    for key, motor in motors.items():
        assert motor.rated_torque * 2 * pi * 3000 / 60 == pytest.approx(motor.rated_power, rel=0.01), key


def test_drives_survive_more_than_the_voltage_they_are_made_for(parts):
    drives = of_kind(parts, "stepper-drive") | of_kind(parts, "servo-drive") | of_kind(parts, "inverter")
    for key, drive in drives.items():
        peak = drive.supply.high * (2**0.5 if drive.supply.kind == "AC" else 1.0)
        assert drive.bus_limit > peak, key
        assert drive.clamp is None or peak < drive.clamp < drive.bus_limit, key


def test_inverters_say_the_current_of_their_power(parts):
    """S = sqrt(3) U I carries the rated power at the usual efficiency and power factor of small motors, 0.5 to 0.9."""
    for key, inverter in of_kind(parts, "inverter").items():
        volts = 230.0 if inverter.phases == "1" else 400.0
        assert 0.4 <= inverter.rated / (3**0.5 * volts * inverter.output_current) <= 0.9, key


def test_a_contactor_of_ac3_makes_ten_times_its_rating(parts):
    """IEC 60947-4-1, making capacity of category AC-3: 10 times the rated operational current (from memory)."""
    for key, contactor in of_kind(parts, "contactor").items():
        assert contactor.making == pytest.approx(10 * contactor.rated), key


def test_emergency_stops_open_two_channels_by_force(parts):
    """IEC 60947-5-5: the break contacts of an emergency stop open directly."""
    stops = of_kind(parts, "emergency-stop")
    assert stops
    for stop in stops.values():
        assert list(stop.contacts.values()).count("NC direct") == 2


def test_a_fuse_for_direct_current_says_so(parts):
    """A fuse without a DC marking has no DC rating, so the key and the voltage agree."""
    fuses = of_kind(parts, "fuse")
    assert {("dc" in key, fuse.rated_voltage.kind == "DC") for key, fuse in fuses.items()} == {
        (True, True),
        (False, False),
    }


def test_a_plan_without_library_parts_opens_no_library_file(monkeypatch):
    def refuse(*_):
        raise AssertionError("a library file was opened")

    library_index.packaged_index.cache_clear()
    monkeypatch.setattr(library_index, "load_tree", refuse)
    monkeypatch.setattr(type(PACKAGED), "glob", refuse)
    faults: list = []
    reading = read_text("format: 1\nmachine: x\nrulebook: iec\nparts:\n  P: {kind: metalwork}\n")
    assert list(resolve_parts(reading, faults)) == ["P"]
    assert faults == []


def test_a_plan_opens_only_the_file_of_the_part_it_uses(monkeypatch):
    opened = []
    original = library_index.load_tree

    def note(path):
        opened.append(path.name)
        return original(path)

    library_index._packaged_file.cache_clear()
    monkeypatch.setattr(library_index, "load_tree", note)
    resolve("P: {use: supply-24v-5a}", "Q: {use: supply-48v-10a}")
    assert opened == ["supplies.yaml"]
