"""Degree of protection of the cabinet: IP22 (IEC 60204-1 11.3, from memory), IP2X (6.2.2, one source), IEC 60529."""

from __future__ import annotations

from itertools import product

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.findings import Signal

SLUG = "protection-class-too-low"


def cabinet(code: str, volts: str = "230 V AC", more: str = "") -> str:
    return f"""
enclosure: {{protection: {code}{more}}}
parts:
  G1: {{kind: supply, input: {volts}, output: 12 V DC, rated: 2 A, class: III}}
"""


@pytest.mark.parametrize("code", ["IP22", "IP23", "IP32", "IP43", "IP54", "IP65", "IP66"])
def test_enough(code: str) -> None:
    assert fired(SLUG, design(cabinet(code))) == []


@pytest.mark.parametrize("code", ["IP20", "IP21", "IP31", "IP40", "IP60"])
def test_water_is_not_kept_out(code: str) -> None:
    """The second numeral 2 keeps out drops with the case tilted up to 15 degrees (IEC 60529)."""
    [finding] = fired(SLUG, design(cabinet(code)))
    assert finding.signal is Signal.CAUTION
    assert "below IP22" in finding.summary


@pytest.mark.parametrize("code", ["IP00", "IP10", "IP12"])
def test_a_finger_gets_in(code: str) -> None:
    """The first numeral 2 keeps out a finger of 12.5 mm (IEC 60529); it counts where the voltage is dangerous."""
    [finding] = fired(SLUG, design(cabinet(code)))
    assert finding.signal is Signal.WARNING
    [mild] = fired(SLUG, design(cabinet(code, "24 V DC")))
    assert mild.signal is Signal.CAUTION


# Extra-low voltage: up to 50 V AC and 120 V DC (IEC 61140, from memory).
@pytest.mark.parametrize(
    ("volts", "signal"), [("42 V AC", Signal.CAUTION), ("60 V AC", Signal.WARNING), ("100 V DC", Signal.CAUTION)]
)
def test_what_counts_as_dangerous(volts: str, signal: Signal) -> None:
    [finding] = fired(SLUG, design(cabinet("IP12", volts)))
    assert finding.signal is signal


def test_openings_let_in_dust() -> None:
    [finding] = fired(SLUG, design(cabinet("IP54", more=", ventilated: true")))
    assert "openings" in finding.summary
    assert fired(SLUG, design(cabinet("IP32", more=", ventilated: true"))) == []


@pytest.mark.parametrize("code", ["type 1", "type 12", "type 4X"])
def test_enclosure_types_keep_out_hands(code: str) -> None:
    assert fired(SLUG, design(cabinet(code), "na")) == []


@pytest.mark.parametrize("code", ["IP2X", "IPX4"])
def test_an_open_numeral_is_asked_for(code: str) -> None:
    plan = design(cabinet(code))
    assert fired(SLUG, plan) == []
    assert len(open_questions(SLUG, plan)) == 1


def test_no_degree_of_protection() -> None:
    plan = design(cabinet("IP54").replace("enclosure: {protection: IP54}\n", ""))
    [item] = open_questions(SLUG, plan)
    assert "`protection: IP54`" in item.missing


def test_it_points_at_the_code() -> None:
    assert_marked("""
enclosure:
  size: 500 x 500 x 200 mm
  protection: IP20   #! protection-class-too-low
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  H1: {kind: lamp, rated: 24 V DC 20 mA}
wires:
  - {wire: 1, from: G1:V+, to: H1:X1, size: 1 mm2, colour: DBU, length: 1 m}
  - {wire: 2, from: G1:V-, to: H1:X2, size: 1 mm2, colour: DBU, length: 1 m}
""")


def test_higher_numerals_are_never_worse() -> None:
    count = {code: len(fired(SLUG, design(cabinet(f"IP{code[0]}{code[1]}")))) for code in product(range(7), range(10))}
    assert all(count[a] >= count[b] for a in count for b in count if a[0] <= b[0] and a[1] <= b[1])


def test_what_it_says() -> None:
    """IEC 60204-1 11.3: IP22 at least."""
    [finding] = fired(SLUG, design(cabinet("IP20")))
    assert_says(finding, "CAUTION", mend="IP22 at least")


@pytest.mark.parametrize(
    ("code", "more", "count"),
    [
        ("type 12", ", ventilated: true", 1),
        ("type 3R", ", ventilated: true", 0),
        ("type 12", ", fan: {airflow: 60 m3/h}", 0),
        ("type 4X", ", fan: {airflow: 60 m3/h}", 1),
        ("IP55", ", fan: {airflow: 60 m3/h}", 0),
        ("IP66", ", fan: {airflow: 60 m3/h}", 1),
    ],
)
def test_openings_do_not_go_with_what_keeps_out_dust_and_jets(code: str, more: str, count: int) -> None:
    """NEMA 250, table 1: 12 keeps out dust, 3R may vent, 4X keeps out a hose; filter fans keep IP55 at most (common
    practice, no source)."""
    assert len(fired(SLUG, design(cabinet(code, more=more)))) == count


# IEC 60529: 5X keeps out harmful dust, X4 splashes, X5 jets. NEMA 250, table 1: 1 keeps out hands, 3R rain, 5 and 12
# settling dust, 12 drops of coolant, 4 the water of a hose.
@pytest.mark.parametrize(
    ("code", "let_in"),
    [
        ("IP22", {"dust", "mist", "hose"}), ("IP43", {"dust", "mist", "hose"}), ("IP53", {"mist", "hose"}),
        ("IP54", {"hose"}), ("IP55", set()), ("IP45", {"dust", "mist"}), ("type 1", {"dust", "mist", "hose"}),
        ("type 3R", {"dust", "mist", "hose"}), ("type 5", {"mist", "hose"}), ("type 12", {"hose"}), ("type 4", set()),
    ],
)  # fmt: skip
def test_what_the_site_has_is_kept_out(code: str, let_in: set[str]) -> None:
    for word in ("dust", "mist", "hose"):
        site = f"site: {{exposed_to: [{word}]}}"
        assert bool(fired(SLUG, design(f"{site}{cabinet(code)}", "na"))) is (word in let_in)
    said, unsaid = (open_questions(SLUG, design(f"{site}{cabinet(code)}")) for site in ("site: {exposed_to: []}", ""))
    assert (len(said), len(unsaid)) == (0, int("mist" in let_in))


def test_what_it_says_of_mist_and_of_a_hose() -> None:
    for code, word, better in (("type 1", "mist", "type 12"), ("IP54", "hose", "IP65")):
        [finding] = fired(SLUG, design(f"site: {{exposed_to: [{word}]}}{cabinet(code)}"))
        assert (finding.signal, finding.mend) == (Signal.CAUTION, (f"Take a cabinet of {better}.",))
