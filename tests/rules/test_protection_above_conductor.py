"""A device that guards a conductor is larger than the conductor allows."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, folded_under
from says import assert_says

SLUG = "protection-above-conductor"


def body(device: str, size: str, insulation: str = "pvc-70", ambient_c: float = 40.0) -> str:
    """A supply of 200 A, a device, and a pair of conductors in a duct, the return too thick to matter."""
    return f"""
site: {{ambient: {ambient_c} °C}}
routes:
  way: {{kind: duct}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 200 A}}
  F1: {device}
  E1: {{kind: load, rated: 24 V DC 24 W}}
wires:
  - {{wire: 1, from: G1:V+, to: F1:1, size: 120 mm2, insulation: {insulation}, length: 0.3 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: {size}, insulation: {insulation}, length: 1 m, route: way}}
  - {{wire: 3, from: G1:V-, to: E1:2, size: 120 mm2, insulation: {insulation}, length: 1 m}}
"""


def breaker(rating: float) -> str:
    return f"{{kind: breaker, rating: {rating} A, curve: C}}"


def fuse(rating: float, fuse_class: str = "gG") -> str:
    return f"{{kind: fuse, rating: {rating} A, class: {fuse_class}}}"


def test_the_finding_points_at_the_thinnest_conductor() -> None:
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}
  F4: {kind: fuse, rating: 25 A, class: gG}
  X1: {kind: terminals, points: 2, bridged: [1-2]}
  E1: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 1, from: G1:V+, to: F4:1, size: 10 mm2, insulation: pvc-70, length: 0.3 m}
  - {wire: 2, from: F4:2, to: X1:1, size: 1 mm2, insulation: pvc-70, length: 1 m}
  - {wire: 4, from: X1:2, to: E1:1, size: 0.75 mm2, insulation: pvc-70, length: 1 m}   #! protection-above-conductor
  - {wire: 3, from: G1:V-, to: E1:2, size: 10 mm2, insulation: pvc-70, length: 1 m}
""")


# IEC 60364-4-43, 433.1: rated current not above the ampacity; what the device lets pass for ever not above 1.45 times
# it. Ampacities of IEC 60204-1:2016 table 6, B1: 0.75 mm2 8.6 A, 1.5 mm2 13.5 A, 2.5 mm2 18.3 A.
@pytest.mark.parametrize(
    ("device", "size", "fires"),
    [
        (
            breaker(8),
            "0.75 mm2",
            False,
        ),  # a breaker lets 1.45 times its rating pass (IEC 60898-1): the first rule rules
        (breaker(8.5), "0.75 mm2", False),
        (breaker(8.7), "0.75 mm2", True),
        (breaker(13), "1.5 mm2", False),
        (breaker(16), "1.5 mm2", True),
        (breaker(16), "2.5 mm2", False),
        (breaker(20), "2.5 mm2", True),
        # gG from 16 A lets 1.6 times pass (IEC 60269-1 table 2): 16 A allows 25.6 A, 1.45 * 18.3 A = 26.5 A
        (fuse(16), "2.5 mm2", False),
        (fuse(20), "2.5 mm2", True),
        # gG above 4 and below 16 A lets 1.9 times pass: 6 A lets 11.4 A pass, 8 A 15.2 A; 1.45 * 8.6 A = 12.5 A
        (fuse(6), "0.75 mm2", False),
        (fuse(8), "0.75 mm2", True),
    ],
)
def test_the_limit_under_iec(device: str, size: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(body(device, size)))) is fires


# NFPA 79:2021 12.6.1 and 7.2 (from memory), NFPA 70:2023 240.4(D): small conductors and their largest device.
@pytest.mark.parametrize(
    ("size", "largest", "next_larger"), [("14 AWG", 15, 20), ("12 AWG", 20, 25), ("10 AWG", 30, 35)]
)
def test_the_limit_of_small_conductors_in_north_america(size: str, largest: float, next_larger: float) -> None:
    def plan(rating: float) -> str:
        text = body(breaker(rating), size, "MTW", ambient_c=30.0)
        return text.replace(
            "E1: {kind: load, rated: 24 V DC 24 W}", "E1: {kind: heater, metal: false, rated: 24 V DC 24 W}"
        )

    assert fired(SLUG, design(plan(largest), "na")) == []
    assert fired(SLUG, design(plan(next_larger), "na"))


def test_a_supply_that_limits_is_the_device_where_there_is_no_other() -> None:
    """A supply of 20 A in front of 0.75 mm2: it limits at 22 A or more and never opens."""
    [finding] = fired(
        SLUG,
        design("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A, overload: {mode: constant-current, limit: 120 %}}
  E1: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 0.75 mm2, insulation: pvc-70, length: 1 m}
  - {wire: 2, from: G1:V-, to: E1:2, size: 6 mm2, insulation: pvc-70, length: 1 m}
"""),
    )
    assert finding.subjects == ("1", "G1")


@pytest.mark.parametrize("rating", [6, 8, 10, 12])
def test_a_fuse_lets_no_more_pass_than_the_supply_in_front_of_it_gives(rating: int) -> None:
    """IEC 60364-4-43, 436: what a source cannot give needs no device to open.

    A gG fuse of 8 A may let 1.9 x 8 = 15.2 A pass for ever (IEC 60269-2), but the supply gives 12 A at most, and 1 mm2
    bears 1.45 x 10.1 A at least (IEC 60204-1, table 6, the hottest way of laying).
    """
    plan = design(f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A,
       overload: {{mode: constant-current, limit: 120 %}}}}
  F1: {{kind: fuse, rating: {rating} A, class: gG}}
  E1: {{kind: load, rated: 24 V DC 24 W}}
wires:
  - {{wire: 1, from: G1:V+, to: F1:1, size: 2.5 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 1 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 3, from: G1:V-, to: E1:2, size: 2.5 mm2, insulation: pvc-70, length: 1 m}}
""")
    assert fired(SLUG, plan) == []


def test_the_return_is_guarded_by_the_devices_of_all_loads_that_come_back_through_it() -> None:
    """Two branches of 4 A through one return: 8 A, which 0.75 mm2 in the open carries (10.4 A, table 6, E)."""
    text = """
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 100 A}}
  F1: {{kind: breaker, rating: {rating} A, curve: B}}
  F2: {{kind: breaker, rating: {rating} A, curve: B}}
  X1: {{kind: terminals, points: 3, bridged: [1-3]}}
  E1: {{kind: load, rated: 24 V DC 24 W}}
  E2: {{kind: load, rated: 24 V DC 24 W}}
wires:
  - {{wire: 1, through: [G1:V+, F1:1, F2:1], size: 35 mm2, insulation: pvc-70, length: 0.2 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 1.5 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 3, from: F2:2, to: E2:1, size: 1.5 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 4, from: E1:2, to: X1:1, size: 1.5 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 5, from: E2:2, to: X1:2, size: 1.5 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 6, from: X1:3, to: G1:V-, size: 0.75 mm2, insulation: pvc-70, length: 1 m}}
"""
    assert fired(SLUG, design(text.format(rating=4))) == []
    [finding] = fired(SLUG, design(text.format(rating=6)))  # 12 A through 10.4 A
    assert finding.subjects[0] == "6"
    assert finding.summary.startswith("F1 + F2 is rated 12 A")


def test_one_of_the_devices_of_control_electronics_gives_its_whole_current_at_a_time() -> None:
    """Electronics take what they take while they are sound (IEC 60364-4-43, 433.1: an overload is a current in a sound
    circuit): 6 A and 0.1 A through 0.75 mm2 of 10.4 A; beside an overload of 6 A a fault gives 6 A more."""
    text = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 100 A}
  F1: {kind: breaker, rating: 6 A, curve: B}
  F2: {kind: breaker, rating: 6 A, curve: B}
  X1: {kind: terminals, points: 3, bridged: [1-3]}
  A1: {kind: io-card, supply: {between: [P, M], voltage: 24 V DC, current: 0.1 A}}
  B1: {kind: sensor, supply: 10..30 V DC, current: 0.1 A, output: pnp NO}
wires:
  - {wire: 1, through: [G1:V+, F1:1, F2:1], size: 35 mm2, insulation: pvc-70, length: 0.2 m}
  - {wire: 2, from: F1:2, to: A1:P, size: 1.5 mm2, insulation: pvc-70, length: 1 m}
  - {wire: 3, from: F2:2, to: B1:1, size: 1.5 mm2, insulation: pvc-70, length: 1 m}
  - {wire: 4, from: A1:M, to: X1:1, size: 1.5 mm2, insulation: pvc-70, length: 1 m}
  - {wire: 5, from: B1:3, to: X1:2, size: 1.5 mm2, insulation: pvc-70, length: 1 m}
  - {wire: 6, from: X1:3, to: G1:V-, size: 0.75 mm2, insulation: pvc-70, length: 1 m}
"""
    assert fired(SLUG, design(text)) == []
    card, load = "A1: {kind: io-card, supply: {between: [P, M], voltage: 24 V DC, current: 0.1 A}}", "A1: {kind: load"
    text = text.replace(card, load + ", rated: 24 V DC 24 W, terminals: {1: P, 2: M}}")
    assert [one.subjects[0] for one in fired(SLUG, design(text))] == ["6"]


def test_a_conductor_without_a_size_is_left_to_the_rule_that_tells_it() -> None:
    text = body(breaker(25), "1.5 mm2").replace("size: 1.5 mm2, ", "")
    assert fired(SLUG, design(text)) == []


def test_an_overloaded_conductor_is_reported_once() -> None:
    """0.75 mm2 with 20 A through it: too thin for its load, which is the nearer danger."""
    text = body(breaker(25), "0.75 mm2").replace("24 V DC 24 W", "24 V DC 480 W")
    assert folded_under(SLUG, design(text)) == {"conductor-overloaded"}


@given(st.sampled_from([2, 4, 6, 8, 10, 13, 16, 20, 25, 32]), st.sampled_from([0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0]))
def test_a_smaller_device_or_a_thicker_conductor_never_makes_it_worse(rating: float, area: float) -> None:
    if not fired(SLUG, design(body(breaker(rating), f"{area} mm2"))):
        assert not fired(SLUG, design(body(breaker(rating / 2), f"{area} mm2")))
        assert not fired(SLUG, design(body(breaker(rating), f"{2 * area} mm2")))


def test_the_finding_names_the_rule_that_is_broken() -> None:
    """8 A gG is within the 8.6 A of 0.75 mm2 but lets 1.9 times pass (IEC 60269-1 table 2); 1.45 * 8.6 A are 12.47 A.

    The largest rating that keeps I2 <= 1.45 Iz (IEC 60364-4-43, 433.1) is 12.47 / 1.9 = 6.56 A; the next below
    is 6 A of IEC 60269-1. Of breakers of 13.5 A and less IEC 60898-1 names 13 A as the largest.
    """
    [finding] = fired(SLUG, design(body(fuse(8), "0.75 mm2")))
    assert "15.2 A" in finding.summary
    assert "12.5 A" in finding.summary
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(1.45 * 8.6)
    assert "I2 <= 1.45 Iz" in finding.limit.source.clause
    assert finding.mend[0] == "Set F1 to 6 A or less."
    [finding] = fired(SLUG, design(body(breaker(16), "1.5 mm2")))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(13.5)
    assert finding.mend[0] == "Set F1 to 13 A or less."


def test_the_size_that_mends_it_may_stand_behind_that_device_too() -> None:
    """14 AWG carries 20 A at 75 °C but stands behind 15 A at most, 12 AWG behind 20 A (NFPA 70, 240.4(D))."""
    text = body(breaker(20), "16 AWG", "MTW", ambient_c=30.0)
    text = text.replace(
        "E1: {kind: load, rated: 24 V DC 24 W}", "E1: {kind: heater, metal: false, rated: 24 V DC 24 W}"
    )
    [finding] = fired(SLUG, design(text, "na"))
    assert "12 AWG" in finding.mend[1]


def motor(device: str, size: str, setting: float, more: str = "", wires: str = "") -> str:
    lines = "\n".join(
        f'  - {{wire: {n}{line}, from: "{a}", to: "{b}", size: {size}, insulation: {{insulation}}, length: 2 m}}'
        for line in (1, 2, 3)
        for n, a, b in (
            ("a", f"X0:L{line}", f"F1:{2 * line - 1}"),
            ("b", f"F1:{2 * line}", f"K1:{2 * line - 1}"),
            ("c", f"K1:{2 * line}", f"Q1:{2 * line - 1}"),
            ("d", f"Q1:{2 * line}", f"M1:{'UVW'[line - 1]}"),
        )
        if n != "a"
    )
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: 400 V, upstream: {{kind: fuse, rating: 63 A, class: gG}}}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  F1: {device}
  K1: {{kind: contactor, poles: 3, coil: 24 V DC 3 W, rated: 25 A}}
  Q1: {{kind: motor-protector, setting: {setting} A, magnetic: false}}
  M1: {{kind: motor, voltage: 400 V AC, phases: 3, rated_power: 4 kW, rated_current: 8.2 A, metal: false}}
{more}
wires:
  - {{wire: s1, from: X0:L1, to: F1:1, size: 16 mm2, insulation: pvc-70, length: 0.3 m}}
  - {{wire: s2, from: X0:L2, to: F1:3, size: 16 mm2, insulation: pvc-70, length: 0.3 m}}
  - {{wire: s3, from: X0:L3, to: F1:5, size: 16 mm2, insulation: pvc-70, length: 0.3 m}}
{lines.replace("{insulation}", "pvc-70")}
{wires}
"""


@pytest.mark.parametrize(("setting", "fires"), [(8.2, False), (15, False), (17, True)])
def test_an_overload_device_behind_it_guards_a_motor_circuit(setting: float, fires: bool) -> None:
    """IEC 60364-4-43, 433.2.2: gG 25 A before 1.5 mm2 (16.1 A in the open, table 6 E) clears shorts alone."""
    found = design(motor("{kind: fuse, poles: 3, rating: 25 A, class: gG}", "1.5 mm2", setting))
    assert bool(fired(SLUG, found)) is fires


def test_what_branches_off_before_the_overload_device_is_not_guarded_by_it() -> None:
    """IEC 60364-4-43, 433.2.2 allows it where there is no branch between the two."""
    text = motor(
        "{kind: fuse, poles: 3, rating: 25 A, class: gG}",
        "1.5 mm2",
        8.2,
        "  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}",
        "  - {wire: e1, from: K1:1, to: E1:1, size: 6 mm2, insulation: pvc-70, length: 1 m}\n"
        "  - {wire: e2, from: X0:N, to: E1:2, size: 6 mm2, insulation: pvc-70, length: 1 m}",
    )
    [finding] = fired(SLUG, design(text))
    assert finding.subjects[0].startswith("b1")


def test_a_motor_branch_circuit_in_north_america() -> None:
    """NFPA 70 240.4(G), 430.22 and 430.52: 5 hp at 230 V, 15.2 A: 12 AWG (19 A), breaker up to 250 %, 38 A, so 40 A."""
    text = motor("{kind: breaker, poles: 3, rating: 40 A, curve: D, breaking: 10 kA}", "12 AWG", 15.2)
    text = text.replace("voltage: 400 V", "voltage: 230 V").replace("rated_power: 4 kW", "rated_power: 5 hp")
    text = text.replace("rated_current: 8.2 A", "rated_current: 15.2 A").replace("pvc-70", "MTW")
    text = text.replace("16 mm2", "4 AWG")
    assert fired(SLUG, design(text, "na")) == []
    assert fired(SLUG, design(text.replace("setting: 15.2 A", "setting: 35 A"), "na"))


@pytest.mark.parametrize(("rating", "subjects"), [(25, ("2", "F1")), (13, ("2",))])
def test_the_machine_s_own_device_is_named_where_the_building_s_is_smaller(
    rating: int, subjects: tuple[str, ...]
) -> None:
    """16 A of the building ahead of 1.5 mm2, which allows 13.5 A (IEC 60204-1, table 6): 25 A are too large as well,
    and behind 13 A nothing is wrong with 1.5 mm2, but with what leads to F1."""
    first = "4" if rating == 25 else "1.5"
    text = f"""
site: {{ambient: 40 °C}}
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: 16 A, curve: B}}}}
routes:
  way: {{kind: duct}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: breaker, rating: {rating} A, curve: B}}
  E1: {{kind: load, rated: 230 V AC 230 W}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: {first} mm2, insulation: pvc-70, length: 5 m, route: way}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 1.5 mm2, insulation: pvc-70, length: 1 m, route: way}}
  - {{wire: 3, from: X0:N, to: E1:2, size: 4 mm2, insulation: pvc-70, length: 1 m}}
"""
    found = [one for one in fired(SLUG, design(text)) if one.signal == "WARNING"]
    assert [one.subjects for one in found] == [subjects if rating == 25 else ("1",)]
    assert any("Set F1 to 13 A" in way for way in found[0].mend) is (rating == 25)


def test_what_it_says() -> None:
    """IEC 60204-1 table 6: 8.6 A for 0.75 mm2; a breaker opens at 1.45 times its rating (IEC 60898-1 table 7). 8 A is
    the next standard rating below."""
    [finding] = fired(SLUG, design(body(breaker(8.7), "0.75 mm2")))
    assert_says(
        finding,
        "WARNING",
        limit=(8.6, "A", "IEC 60204-1 table 6"),
        number=("lets pass", 1.45 * 8.7, "A"),
        mend="8 A or less",
    )
