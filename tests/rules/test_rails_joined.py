"""What must stay apart: poles of one source, two voltages, the mains, signal outputs (IEC 60204-1, 13.1.3)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "rails-joined"
SECOND = "G2: {kind: supply, input: 230 V AC, output: %s V DC, rated: 5 A, class: II, wires_per_terminal: 3}\n"
FED = "- {wire: 91, from: X0:L, to: G2:L}\n- {wire: 92, from: X0:N, to: G2:N}\n- {wire: 93, from: 'G2:V-', to: X2:9}\n"


def test_a_signal_wire_on_the_wrong_rail() -> None:
    assert_marked(plan(SECOND % 48, FED + "- {wire: 94, from: 'G2:V+', to: X1:9}   #! rails-joined"))


def test_plus_and_return_of_one_supply() -> None:
    body = plan(
        "X9: {kind: terminals, points: 2, bridged: [1-2]}",
        "- {wire: 1, from: X1:3, to: X9:1}\n- {wire: 2, from: X9:2, to: X2:3}",
    )
    [finding] = fired(SLUG, design(body))
    assert finding.signal is Signal.WARNING
    assert "short circuit" in finding.summary


def test_a_line_on_the_protective_earth() -> None:
    [finding] = fired(SLUG, design(plan(wires="- {wire: 1, from: X0:L, to: XPE:9}")))
    assert finding.signal is Signal.DANGER


def test_both_poles_of_a_rail_on_the_protective_earth() -> None:
    [finding] = fired(SLUG, design(plan(wires="- {wire: 1, from: X1:3, to: XPE:9}")))
    assert finding.subjects == ("1", "G1")


def test_mains_on_a_rail_is_a_danger() -> None:
    [finding] = fired(SLUG, design(plan(wires="- {wire: 1, from: X0:L, to: X1:3}")))
    assert finding.signal is Signal.DANGER


def test_a_contact_that_is_closed_in_a_state_joins() -> None:
    body = plan(
        SECOND % 48 + "S1: {kind: selector, contacts: {11-12: NC}}",
        FED + "- {wire: 1, from: 'G2:V+', to: S1:11}\n- {wire: 2, from: S1:12, to: X1:9}",
    )
    [finding] = fired(SLUG, design(body))
    assert finding.subjects[0] == "S1"
    assert "S1:11-12" in finding.summary


def test_a_change_over_contact_joins_nothing() -> None:
    body = plan(
        SECOND % 48 + "K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {11-12: NC, 11-14: NO}}\n"
        "H1: {kind: lamp, rated: 60 V DC 1 W}",
        FED + "- {wire: 1, from: 'G2:V+', to: K1:14}\n- {wire: 2, from: X1:9, to: K1:12}\n"
        "- {wire: 3, from: K1:11, to: H1:X1}\n"
        "- {wire: 4, from: H1:X2, to: X2:8}\n- {wire: 5, from: X1:8, to: K1:A1}\n- {wire: 6, from: X2:7, to: K1:A2}",
    )
    assert fired(SLUG, design(body)) == []


def test_returns_may_be_joined_and_rails_stacked() -> None:
    assert fired(SLUG, design(plan(SECOND % 48, FED))) == []
    stacked = FED.replace("from: 'G2:V-', to: X2:9", "from: 'G2:V-', to: X1:9")
    assert fired(SLUG, design(plan(SECOND % 24, stacked))) == []


@given(st.integers(5, 60))
def test_joined_plus_poles_are_told_by_exactly_one_rule(volts: int) -> None:
    """Equal voltages: two supplies on one rail; different ones: joined rails. Never both, never neither."""
    model = design(plan(SECOND % volts, FED + "- {wire: 94, from: 'G2:V+', to: X1:9}"))
    assert len(fired(SLUG, model)) + len(fired("supplies-paralleled", model)) == 1


@pytest.mark.parametrize(("volts", "fires"), [(25.2, False), (25.5, True)])
def test_five_percent_part_two_voltages_from_one(volts: float, fires: bool) -> None:
    """24 V and 25.2 V differ by 4.8 % of the higher one, 24 V and 25.5 V by 5.9 % (own choice of 5 %)."""
    assert bool(fired(SLUG, design(plan(SECOND % volts, FED + "- {wire: 94, from: 'G2:V+', to: X1:9}")))) is fires


def test_what_it_says() -> None:
    """Kirchhoff: the mains of 230 V stand on the protective earth."""
    [finding] = fired(SLUG, design(plan(wires="- {wire: 1, from: X0:L, to: XPE:9}")))
    assert_says(finding, "DANGER", number=("rail", 230.0, "V"), mend="Take 1 off the protective earth")


def test_it_names_what_joins_and_both_sources() -> None:
    [finding] = fired(SLUG, design(plan(SECOND % 48, FED + "- {wire: 94, from: 'G2:V+', to: X1:9}")))
    assert finding.subjects == ("94", "G1", "G2")


def test_a_winding_on_a_rail() -> None:
    """24 V AC of a winding on the plus of a supply (Kirchhoff: both force their voltage)."""
    body = plan(
        "T1: {kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 100 VA}",
        '- {wire: 91, from: X0:L, to: "T1:1.1"}\n- {wire: 92, from: X0:N, to: "T1:1.2"}\n'
        '- {wire: 93, from: "T1:2.2", to: X2:9}\n- {wire: 94, from: "T1:2.1", to: X1:9}',
    )
    found = [one for one in fired(SLUG, design(body)) if "winding" in one.summary]
    assert {one.subjects[0] for one in found} == {"93", "94"}
    assert {one.signal for one in found} == {Signal.WARNING}


def test_two_windings_joined_at_one_end_drive_no_current() -> None:
    """Kirchhoff: one joint of two floating windings closes no loop, and it is no winding on a rail."""
    feeds = "".join(
        f'- {{wire: 9{n}, from: X0:L, to: "T{n}:1.1"}}\n- {{wire: 8{n}, from: X0:N, to: "T{n}:1.2"}}\n' for n in (1, 2)
    )
    windings = "".join(
        f"T{n}: {{kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 100 VA}}\n" for n in (1, 2)
    )
    assert fired(SLUG, design(plan(windings, feeds + '- {wire: 95, from: "T1:2.1", to: "T2:2.1"}'))) == []


def test_the_joint_of_two_rails_is_named_for_what_follows_from_it() -> None:
    [finding] = fired(SLUG, design(plan(SECOND % 48, FED + "- {wire: 94, from: 'G2:V+', to: X1:9}")))
    assert finding.holds == {("joint", "G1|G2")}
