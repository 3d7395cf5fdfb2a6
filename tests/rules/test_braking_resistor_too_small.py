"""Braking resistors against the energy of their stops, their peak power, and loads that are lowered."""

from __future__ import annotations

from itertools import pairwise
from math import pi

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "braking-resistor-too-small"


def braked(
    resistor: str = "power: 200 W, peak_power: 2 kW, cycle: 10 s",
    motor: str = "rotor_inertia: 8 kg·cm2, load_inertia: 4 kg·cm2",
    drive: str = "clamp: 390 V, bus_capacitance: 470 µF, bus_limit: 420 V, quiescent: 0 W",
    ohm: float = 100,
) -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
        upstream: {{kind: fuse, rating: 16 A, class: gG}}}}
states:
  fast: {{M1: {{speed: 6000 rpm, torque: 1 N·m}}}}
parts:
  X0: {{kind: inlet}}
  XPE: {{kind: earth-bar, points: 3}}
  T1: {{kind: inverter, supply: 200..240 V AC, phases: 1, rated: 1.5 kW, output_current: 7 A, braking: true, {drive}}}
  R1: {{kind: braking-resistor, resistance: {ohm} ohm, {resistor}}}
  M1: {{kind: motor, voltage: 230 V AC, rated_power: 1.1 kW, rated_current: 5 A, metal: false, {motor}}}
wires:
  - {{wire: 1, from: X0:L, to: T1:L, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: "X0:N", to: "T1:N", size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: X0:PE, to: XPE:1, size: 2.5 mm2, colour: GNYE, length: 1 m}}
  - {{wire: 4, from: T1:R1, to: R1:R1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 5, from: T1:R2, to: R1:R2, size: 2.5 mm2, length: 1 m}}
  - {{wire: 6, from: T1:U, to: M1:U, size: 2.5 mm2, length: 1 m}}
  - {{wire: 7, from: T1:V, to: M1:V, size: 2.5 mm2, length: 1 m}}
  - {{wire: 8, from: T1:W, to: M1:W, size: 2.5 mm2, length: 1 m}}
  - {{wire: 9, from: XPE:2, to: T1:PE, size: 2.5 mm2, colour: GNYE, length: 1 m}}
  - {{wire: 10, from: XPE:3, to: R1:PE, size: 2.5 mm2, colour: GNYE, length: 1 m}}
"""


@pytest.mark.parametrize("book", ["iec", "na"])
def test_the_finding_points_at_the_rating(book: str) -> None:
    head, rest = braked("power: 60 W, peak_power: 2 kW, cycle: 10 s").split("  R1: ")
    resistor, tail = rest.split("\n", 1)
    keys = resistor.strip("{}").split(", ")
    lines = "\n".join(f"    {key}{f'      #! {SLUG}' if key.startswith('power') else ''}" for key in keys)
    body = f"{head}  R1:\n{lines}\n{tail}"
    if book == "iec":
        assert_marked(body)
    else:
        assert [item.place.line for item in fired(SLUG, design(body, book)) if item.place] == [
            item.place.line for item in fired(SLUG, design(body)) if item.place
        ]


def test_the_energy_of_a_stop_by_hand() -> None:
    """J w2 / 2 = 0.5 x 12e-4 x (628.3 rad/s)2 = 236.9 J. From sqrt(2) x 230 V = 325.3 V to 390 V, 470 microfarads keep
    0.5 x 470e-6 x (390² - 325.3²) = 10.9 J. Once in 10 s with a fifth of the rating used: E / (0.2 x 10 s) = 113 W, the
    formula that makers of drives print; V2/R = 390² / 100 = 1521 W."""
    (duty,) = design(braked()).transients.braking_duties
    speed = 6000 * 2 * pi / 60
    energy = 0.5 * 12e-4 * speed**2 - 0.5 * 470e-6 * (390.0**2 - 2.0 * 230.0**2)
    assert duty.energy_j == pytest.approx(energy, rel=1e-3)
    assert duty.stops_w == pytest.approx(energy / 2.0, rel=1e-3)
    assert duty.stops_w == pytest.approx(113.0, abs=0.1)
    assert duty.pulse_w == pytest.approx(1521.0)


@pytest.mark.parametrize(
    ("resistor", "fires"),
    [
        ("power: 114 W, peak_power: 2 kW, cycle: 10 s", False),
        ("power: 112 W, peak_power: 2 kW, cycle: 10 s", True),
        ("power: 200 W, peak_power: 1.53 kW, cycle: 10 s", False),
        ("power: 200 W, peak_power: 1.51 kW, cycle: 10 s", True),
    ],
)
@pytest.mark.parametrize("book", ["iec", "na"])
def test_the_limits(resistor: str, fires: bool, book: str) -> None:
    assert bool(fired(SLUG, design(braked(resistor), book))) is fires


# A load of 2 N·m lowered at 628.3 rad/s feeds back 1256.6 W (torque times speed): V2/R takes that up to 121.04 ohm. The
# stops leave 226 J every 10 s, which are 22.6 W beside it, and ask for 113 W by themselves.
@pytest.mark.parametrize(("ohm", "fires"), [(121.0, False), (121.1, True)])
def test_a_lowered_load_must_find_few_enough_ohms(ohm: float, fires: bool) -> None:
    motor = "rotor_inertia: 8 kg·cm2, load_inertia: 4 kg·cm2, vertical: true, gravity_torque: 2 N·m"
    found = design(braked("power: 7 kW, cycle: 10 s", motor, ohm=ohm))
    assert bool(fired(SLUG, found)) is fires
    (duty,) = found.transients.braking_duties
    assert duty.descent_w == pytest.approx(1256.6, rel=1e-4)
    assert duty.stops_w == pytest.approx(113.0, abs=0.1)
    assert duty.lasting_w == pytest.approx(1256.6 + 22.6, rel=1e-3)


LOWERED = "rotor_inertia: 8 kg·cm2, load_inertia: 4 kg·cm2, vertical: true, gravity_torque: 2 N·m"


@pytest.mark.parametrize(
    ("power_w", "share", "fires"), [(1280, "", False), (1278, "", True), (400, "30 %", False), (399, "30 %", True)]
)
def test_lowering_is_lasting_power_for_its_share_of_the_time(power_w: int, share: str, fires: bool) -> None:
    """1256.6 W without a pause, or 377.0 W for 30 % of the time, and 22.6 W of the stops: heat over time, of which a
    resistor bears its whole rating."""
    text = braked(f"power: {power_w} W, peak_power: 7 kW, cycle: 10 s", LOWERED)
    found = fired(SLUG, design(text.replace("torque: 1 N·m}", f"torque: 1 N·m, duty: {share}}}") if share else text))
    assert [one.summary.split()[0] for one in found] == (["Lowering"] if fires else [])


def test_a_stop_of_no_energy_asks_for_nothing() -> None:
    """Slow enough that the capacitors keep it all, a load that is lowered is told as such and not as stops: 0.5 x
    12e-4 x (62.8 rad/s)2 = 2.4 J are less than the 10.9 J above, and 2 N·m x 62.8 rad/s are 126 W."""
    text = braked("power: 60 W, peak_power: 7 kW, cycle: 20 s", LOWERED).replace("6000 rpm", "600 rpm")
    [finding] = fired(SLUG, design(text))
    assert finding.summary.startswith("Lowering M1 makes 126 W")
    assert "126 W or more" in finding.mend[0]


@pytest.mark.parametrize(
    ("changed", "missing"),
    [
        ({"resistor": "power: 200 W, peak_power: 2 kW"}, "R1 cycle"),
        ({"resistor": "power: 200 W, cycle: 10 s"}, "R1 peak_power"),
        ({"drive": "bus_capacitance: 470 µF, bus_limit: 420 V"}, "T1 clamp"),
        ({"motor": "rotor_inertia: 8 kg·cm2"}, "M1 load_inertia"),
        ({"motor": "rotor_inertia: 8 kg·cm2, load_inertia: 4 kg·cm2, vertical: true"}, "M1 gravity_torque"),
    ],
)
def test_what_is_missing_is_named(changed: dict[str, str], missing: str) -> None:
    found = design(braked(**changed))
    assert not fired(SLUG, found)
    assert missing in open_questions(SLUG, found)[0].missing


def test_more_time_between_stops_never_asks_for_more() -> None:
    needed = [
        design(braked(f"power: 200 W, peak_power: 2 kW, cycle: {cycle} s")).transients.braking_duties[0].stops_w or 0.0
        for cycle in (1.0, 1.01, 2.5, 7.3, 30.0, 99.0, 100.0, 400.0)
    ]
    assert all(more > less for more, less in pairwise(needed))


def test_what_it_says() -> None:
    """J w²/2 less what the bus takes from 325.3 V to its clamp at 390 V. A fifth of the rating may be used (one
    source), so 226 J every 10 s ask for 113 W of the 60 W that are marked."""
    [finding] = fired(SLUG, design(braked("power: 60 W, peak_power: 2 kW, cycle: 10 s")))
    assert " every 10 s asks for " in finding.summary
    assert_says(
        finding,
        "CAUTION",
        limit=(60.0, "W", "manuals of drives size of a braking resistor"),
        number=("energy", 0.5 * 12e-4 * (6000 * pi / 30) ** 2 - 0.5 * 470e-6 * (390**2 - 2 * 230**2), "J"),
        mend="113 W or more",
    )


def stopped(ohm: float, delay: str = "delay: 2 s, ", category: int = 1) -> str:
    """The machine with a stop that names its motor."""
    stop = f"stops: {{emergency: {{devices: [S1], category: {category}, {delay}removes: [M1]}}}}\n"
    button = "  S1: {kind: emergency-stop, contacts: {11-12: NC direct}}\n"
    text = braked("power: 2 kW, peak_power: 9 kW, cycle: 10 s", ohm=ohm)
    return text.replace("parts:\n", f"{stop}parts:\n{button}", 1)


# The 236.9 J of the test above braked evenly in 2 s: P = J w dw/dt = 12e-4 x 628.3 x 314.2 = 236.9 W at first, and
# sqrt(226.0 / 236.9) of it, 231.4 W, when the capacitors have taken their 10.9 J. 390² / 231.4 = 657 ohm.
@pytest.mark.parametrize(
    ("ohm", "delay", "category", "fires"),
    [
        (650, "delay: 2 s, ", 1, False),
        (665, "delay: 2 s, ", 1, True),
        (665, "delay: 2.1 s, ", 1, False),
        (665, "", 0, False),
    ],
)
def test_a_resistor_takes_what_a_stop_feeds_back_within_its_delay(
    ohm: float, delay: str, category: int, fires: bool
) -> None:
    assert bool(fired(SLUG, design(stopped(ohm, delay, category)))) is fires


def test_a_stop_that_brakes_and_does_not_say_how_long_is_asked() -> None:
    [asked] = [one for one in open_questions(SLUG, design(stopped(665, ""))) if "emergency" in one.subjects]
    assert asked.subjects == ("R1", "emergency")


def test_what_it_says_of_too_many_ohms() -> None:
    """390² / 800 = 190.1 W against 231.4 W, as above; 2 s x 231.4 / 190.1 = 2.434 s, rounded up."""
    [finding] = fired(SLUG, design(stopped(800)))
    assert "braking M1 within the 2 s of stop emergency feeds back 231 W" in finding.summary
    numbers = [(one.name, round(one.value, 1)) for one in finding.numbers]
    assert numbers == [("energy", 226.0), ("clamp", 390.0)]
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(190.1, abs=0.1)
    assert finding.mend[1].startswith("Or brake in 2.44 s or more")
