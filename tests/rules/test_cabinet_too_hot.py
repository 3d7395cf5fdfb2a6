"""Air in the cabinet: P = k A dT by hand, IEC TR 60890 surface, against the 55 °C of the trade (common practice)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, folded_under, open_questions
from says import assert_says

SLUG = "cabinet-too-hot"
ENCLOSURE = "{size: 400 x 400 x 200 mm, material: painted-steel, mounting: wall}"


def cabinet(heat_w: float, ambient_c: float | None = 35.0, enclosure: str = ENCLOSURE) -> str:
    """A part that gives off a known heat in a cabinet of 400 x 400 x 200 mm on a wall."""
    site = f"site: {{ambient: {ambient_c} °C}}\n" if ambient_c is not None else ""
    return f"""
{site}enclosure: {enclosure}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A, heat: {heat_w} W}}
"""


# Effective surface on a wall (IEC TR 60890): 1.4 * 0.4 * 0.4 + 1.8 * 0.4 * 0.2 + 1.4 * 0.4 * 0.2 = 0.48 m2; painted
# steel 5.5 W/(m2 K): 2.64 W/K. From 35 to 55 °C are 20 K, which is 52.8 W.
def test_the_limit_is_the_heat_that_the_walls_give_off_at_55() -> None:
    assert fired(SLUG, design(cabinet(52.3))) == []
    [finding] = fired(SLUG, design(cabinet(53.3)))
    assert finding.limit is not None
    assert finding.limit.value == 55.0
    assert "common practice" in str(finding.limit.source.standing)
    assert finding.numbers[0].value == pytest.approx(35 + 53.3 / 2.64, abs=0.01)


def test_it_offers_a_fan_and_a_surface_by_hand() -> None:
    """100 W: 3.1 m3 K/(W h) * (100 - 52.8) W / 20 K = 7.3 m3/h; or 100 / (5.5 * 20) = 0.91 m2.

    The smallest filter fan that is sold delivers 20 m3/h (common practice).
    """
    [finding] = fired(SLUG, design(cabinet(100.0)))
    assert "20 m3/h" in finding.mend[0]
    assert "0.91 m2 of cooling surface in place of 0.48 m2" in finding.mend[1]


def test_a_fan_brings_it_down() -> None:
    assert fired(SLUG, design(cabinet(100.0, enclosure=ENCLOSURE[:-1] + ", fan: {airflow: 10 m3/h}}"))) == []


def test_forty_degrees_are_taken_where_the_site_gives_none() -> None:
    """15 K remain to 55 °C: 39.6 W."""
    assert fired(SLUG, design(cabinet(39.0, None))) == []
    [finding] = fired(SLUG, design(cabinet(40.2, None)))
    assert "assumed" in finding.numbers[1].remark


def test_air_that_is_too_warm_outside_asks_for_cooling() -> None:
    [finding] = fired(SLUG, design(cabinet(10.0, 56.0)))
    assert finding.mend[0].startswith("Cool the cabinet")


@pytest.mark.parametrize(
    ("enclosure", "missing"),
    [
        ("{material: painted-steel, mounting: wall}", "size"),
        ("{size: 400 x 400 x 200 mm, mounting: wall}", "material"),
        ("{protection: IP54}", "size and material and mounting"),
    ],
)
def test_a_cabinet_without_data_is_not_judged(enclosure: str, missing: str) -> None:
    plan = design(cabinet(500.0, enclosure=enclosure))
    assert fired(SLUG, plan) == []
    [item] = open_questions(SLUG, plan)
    assert missing in item.missing


def test_it_points_at_the_enclosure() -> None:
    assert_marked("""
site: {ambient: 30 °C}
enclosure: {size: 300 x 300 x 150 mm, material: plastic, mounting: wall, protection: IP54}   #! cabinet-too-hot
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, heat: 27 W, derating: {from: 60 °C, slope: 0 %/K}}
  H1: {kind: lamp, at: cabinet, rated: 24 V DC 20 mA}
wires:
  - {wire: 1, from: G1:V+, to: H1:X1, size: 1 mm2, colour: DBU, length: 1 m}
  - {wire: 2, from: G1:V-, to: H1:X2, size: 1 mm2, colour: DBU, length: 1 m}
""")


@given(st.floats(1, 300), st.floats(0, 100), st.floats(0, 50), st.floats(0, 20))
def test_more_heat_and_warmer_air_never_mend_it(heat_w: float, more_w: float, ambient_c: float, more_k: float) -> None:
    before = bool(fired(SLUG, design(cabinet(round(heat_w, 3), round(ambient_c, 3)))))
    hotter = bool(fired(SLUG, design(cabinet(round(heat_w + more_w, 3), round(ambient_c + more_k, 3)))))
    assert hotter or not before


def test_what_the_heat_takes_away_is_told_with_it() -> None:
    """2.5 % a kelvin from 40 °C on: nothing is left at 80 °C. At the 55 °C of electronic devices 62 % would be."""
    body = """
site: {ambient: 78 °C}
enclosure: {size: 500 x 700 x 250 mm, material: painted-steel, mounting: wall}
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A, derating: {from: 40 °C, slope: 2.5 %/K}}
  E1: {kind: load, rated: 24 V DC 240 W}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 10 mm2, length: 1 m}
  - {wire: 2, from: G1:V-, to: E1:2, size: 10 mm2, length: 1 m}
"""
    [finding] = fired("cabinet-too-hot", design(body))
    assert "G1" in finding.summary
    assert "1, 2 may carry no current" in finding.summary
    for other in ("supply-overloaded", "conductor-overloaded"):
        assert folded_under(other, design(body)) == {"cabinet-too-hot"}
    assert fired("protection-above-conductor", design(body)) == []  # no device is right for what may carry nothing


@pytest.mark.parametrize(("amps", "explained"), [(7.2, True), (8.0, False)])
def test_what_would_do_in_cooler_air_is_an_effect(amps: float, explained: bool) -> None:
    """0.75 mm2 open in air: 10.4 A (IEC 60204-1, table 6, method E) x 0.71 is 7.4 A at 55 °C (table D.1), x 0.684 are
    7.1 A at 56 °C, a fifth of the way to 0.58 at 60 °C: 7.2 A are too much there only because of the heat, 8 A are
    too much at the limit as well."""
    text = cabinet(55.0) + f"  E1: {{kind: load, at: machine, rated: 24 V DC {24 * amps} W}}\nwires:\n"
    text += "  - {wire: 1, from: 'G1:V+', to: X1:1, size: 0.75 mm2, length: 0.5 m}\n"
    text += "  - {wire: 2, from: 'X1:1', to: E1:1, size: 6 mm2, length: 1 m}\n"
    text += "  - {wire: 3, from: 'G1:V-', to: E1:2, size: 6 mm2, length: 1 m}\n"
    plan = design(text.replace("parts:\n", "parts:\n  X1: {kind: terminals, points: 1}\n"))
    assert 56.0 < plan.inside.inside_c <= 60.0
    [hot], [wire] = fired(SLUG, plan), [one for one in fired("conductor-overloaded", plan) if "1" in one.subjects]
    assert (folded_under("conductor-overloaded", plan) == {SLUG}) is explained
    assert wire.signal == "WARNING"
    assert hot.signal == ("WARNING" if explained else "CAUTION")


def test_what_it_says() -> None:
    """100 W in 2.64 W/K (see above) from 35 °C; 55 °C is common practice, and 20 m3/h the smallest fan that is sold."""
    [finding] = fired(SLUG, design(cabinet(100.0)))
    assert_says(
        finding,
        "CAUTION",
        limit=(55.0, "°C", "common practice air around electronic devices in a cabinet"),
        number=("inside", 35 + 100 / 2.64, "°C"),
        mend="20 m3/h",
    )


def test_one_supply_and_several_lose_their_load() -> None:
    """2.5 % a kelvin from 40 °C on: above 78 °C less than 5 % of 20 A are left, 1 A. Loads of 5 A and of 10 A want
    more, one of 0.2 A does not."""

    def told(*watts: int) -> str:
        derating = "derating: {from: 40 °C, slope: 2.5 %/K}"
        lines = [
            "site: {ambient: 78 °C}",
            "enclosure: {size: 500 x 700 x 250 mm, material: painted-steel, mounting: wall}",
        ]
        lines.append("parts:")
        for n, load_w in enumerate(watts):
            lines.append(
                f"  G{n}: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A, heat: 1 W, {derating}}}"
            )
            lines.append(f"  E{n}: {{kind: load, at: machine, rated: 24 V DC {load_w} W}}")
        lines.append("wires:")
        for n, end in ((n, end) for n in range(len(watts)) for end in ("V+ 1", "V- 2")):
            near, far = end.split()
            lines.append(
                f"  - {{wire: {2 * n + int(far)}, from: G{n}:{near}, to: E{n}:{far}, size: 16 mm2, length: 1 m}}"
            )
        [finding] = fired(SLUG, design("\n".join(lines)))
        return finding.summary

    assert "; G0 delivers less there than its load" in told(120, 5)
    assert "; G0, G2 deliver less there than their load" in told(120, 5, 240)


# 52.8 W bring it to 55 °C, as above; a coil without its power takes 30 W at most (a brake, common practice).
@pytest.mark.parametrize(
    ("heat_w", "place", "asks"), [(20.0, "cabinet", False), (30.0, "cabinet", True), (30.0, "machine", False)]
)
def test_a_coil_of_unknown_power_is_asked_for_where_it_could_matter(heat_w: float, place: str, asks: bool) -> None:
    relay = f"  K1: {{kind: relay, at: {place}, coil: 24 V DC, contacts: {{13-14: NO}}}}\n"
    found = [one for one in open_questions(SLUG, design(cabinet(heat_w) + relay)) if "coil power" in one.missing]
    assert [one.subjects for one in found] == ([("enclosure", "K1")] if asks else [])


@pytest.mark.parametrize(("load_w", "efficiency", "asks"), [(300, "", True), (150, "", False), (300, "88 %", False)])
def test_an_efficiency_is_asked_for_where_half_as_much_heat_again_is_too_much(
    load_w: int, efficiency: str, asks: bool
) -> None:
    """At 88 % (common practice) 300 W make 41 W: 35 + 41 / 2.64 = 50.5 °C, and 58 °C with half as much again; 150 W
    make half of it, 47 °C at the worst."""
    given = f"efficiency: {efficiency}" if efficiency else "class: I"
    text = cabinet(1.0).replace("heat: 1.0 W", given)
    text += f"  E1: {{kind: load, at: machine, rated: 24 V DC {load_w} W}}\nwires:\n" + "".join(
        f"  - {{wire: {n}, from: 'G1:{near}', to: E1:{n}, size: 16 mm2, length: 1 m}}\n"
        for n, near in ((1, "V+"), (2, "V-"))
    )
    found = [one for one in open_questions(SLUG, design(text)) if "efficiency" in one.missing]
    known = design(text.replace(given, f"{given}, heat: 50 W"))
    assert not any("efficiency" in one.missing for one in open_questions(SLUG, known))
    assert [one.subjects for one in found] == ([("enclosure", "G1")] if asks else [])


def with_load(own_w: float, keys: str) -> str:
    """The cabinet of 2.64 W/K with what it gives off itself, and a load in its door whose feed comes from outside."""
    return f"""
site: {{ambient: 35 °C}}
enclosure: {ENCLOSURE}
parts:
  X0: {{kind: inlet, poles: [L, N, PE], rated: 16 A}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A, heat: {own_w} W}}
  J1: {{kind: load, at: door, rated: 230 V AC 230 W{keys}}}
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz}}
wires:
  - {{wire: 1, from: "X0:L", to: J1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: "X0:N", to: J1:2, size: 2.5 mm2, length: 1 m}}
"""


@pytest.mark.parametrize(
    ("own_w", "keys", "too_hot", "asked"),
    [
        (20.0, "", False, True),  # 42.6 °C surely, 130 °C with all of the 230 W: 52.8 W bring 55 °C
        (20.0, ", heat: 0 W", False, False),
        (20.0, ", heat: 40 W", True, False),
        (60.0, "", True, False),  # too hot by itself
    ],
)
def test_power_that_may_leave_the_cabinet_is_asked_for(own_w: float, keys: str, too_hot: bool, asked: bool) -> None:
    """52.8 W from 35 to 55 °C (see above): what may be heat or work decides nothing, and is asked for once."""
    plan = design(with_load(own_w, keys))
    assert bool(fired(SLUG, plan)) is too_hot
    questions = open_questions(SLUG, plan)
    assert [("J1" in one.subjects, "J1" in one.missing) for one in questions] == ([(True, True)] if asked else [])
    if asked:
        assert plan.inside.inside_c == pytest.approx(35 + 20 / 2.64, abs=0.2)
        assert fired("conductor-overloaded", plan) == []
        assert {one.signal for one in questions} == {"WARNING"}
