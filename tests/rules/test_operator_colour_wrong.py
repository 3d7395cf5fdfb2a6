"""Colours of stop and reset buttons: IEC 60204-1:2016 10.2.1 (two public sources), NFPA 79 10.2 (from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.plan.colours import COLOURS

SLUG = "operator-colour-wrong"


def stop(reset: str = "BU", device: str = "emergency-stop", colour: str = "RD") -> str:
    given_reset = f"colour: {reset}, " if reset else ""
    return f"""
parts:
  S1: {{kind: {device}, colour: {colour}, contacts: {{11-12: NC, 21-22: NC}}}}
  S2: {{kind: push-button, {given_reset}contacts: {{13-14: NO}}}}
stops:
  halt: {{devices: [S1], category: 0, reset: S2, removes: []}}
"""


# 10.2.1: reset blue, white, grey or black; green forbidden. Red and yellow are kept for emergency and abnormal.
@pytest.mark.parametrize(
    ("colour", "count"), [("BU", 0), ("WH", 0), ("GY", 0), ("BK", 0), ("GN", 1), ("RD", 1), ("YE", 1)]
)
@pytest.mark.parametrize("book", ["iec", "na"])
def test_reset(colour: str, count: int, book: str) -> None:
    assert [finding.subjects for finding in fired(SLUG, design(stop(colour), book))] == [("S2",)] * count


# Stop black, grey, white or red, never green.
@pytest.mark.parametrize(("colour", "count"), [("BK", 0), ("GY", 0), ("WH", 0), ("RD", 0), ("GN", 1), ("BU", 1)])
def test_stop(colour: str, count: int) -> None:
    found = fired(SLUG, design(stop(device="push-button", colour=colour)))
    assert [finding.subjects for finding in found] == [("S1",)] * count


@pytest.mark.parametrize(("colour", "count"), [("RD", 0), ("BK", 1), ("GN", 1), ("YE", 1)])
def test_emergency_stop_is_red(colour: str, count: int) -> None:
    assert len(fired(SLUG, design(stop(colour=colour)))) == count


def test_a_stop_that_also_resets_is_a_stop() -> None:
    body = stop("RD", "push-button").replace("devices: [S1]", "devices: [S1, S2]")
    assert fired(SLUG, design(body)) == []


@pytest.mark.parametrize("colour", ["purple", "RDX", "clear"])
def test_a_colour_in_words_is_no_right_one(colour: str) -> None:
    [finding] = fired(SLUG, design(stop(colour)))
    assert colour in finding.summary


def test_a_button_without_colour_is_asked_for_it() -> None:
    plan = design(stop(""))
    assert fired(SLUG, plan) == []
    [item] = open_questions(SLUG, plan)
    assert item.subjects == ("S2",)


def test_it_points_at_the_colour() -> None:
    assert_marked("""
parts:
  S1: {kind: emergency-stop, contacts: {11-12: NC direct, 21-22: NC direct}}
  S2:
    kind: push-button
    colour: GN   #! operator-colour-wrong
    contacts: {13-14: NO}
stops:
  halt: {devices: [S1], category: 0, reset: S2, removes: []}
""")


@pytest.mark.parametrize("book", ["iec", "na"])
def test_green_and_the_rare_colours_never_pass(book: str) -> None:
    passed = {colour for colour in COLOURS if not fired(SLUG, design(stop(colour), book))}
    assert passed == {"BU", "WH", "GY", "BK"}


def test_what_it_says() -> None:
    """IEC 60204-1 10.2.1: reset is blue, never green."""
    [finding] = fired(SLUG, design(stop("GN")))
    assert_says(finding, "CAUTION", mend="Make S2 blue (BU)")


def start(colour: str, across: str = "S3:14") -> str:
    """A contactor that a button switches on, with a make contact of the contactor between S3:13 and another point."""
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A}}
  K1: {{kind: contactor, coil: 24 V DC 3 W, contacts: {{13-14: NO}}}}
  S3: {{kind: push-button, colour: {colour}, contacts: {{13-14: NO}}}}
wires:
  - {{wire: 1, through: [G1:V+, S3:13, K1:13]}}
  - {{wire: 2, from: K1:14, to: "{across}"}}
  - {{wire: 3, from: S3:14, to: K1:A1}}
  - {{wire: 4, from: K1:A2, to: G1:V-}}
"""


# Start white, grey, black or green, never red (10.2.1, two public pages); blue is kept for what is mandatory.
@pytest.mark.parametrize(
    ("colour", "count"), [("WH", 0), ("GY", 0), ("BK", 0), ("GN", 0), ("RD", 1), ("BU", 1), ("YE", 1)]
)
@pytest.mark.parametrize("book", ["iec", "na"])
def test_a_button_across_which_its_contactor_holds_itself_in_starts(colour: str, count: int, book: str) -> None:
    assert [finding.subjects for finding in fired(SLUG, design(start(colour), book))] == [("S3",)] * count


def test_a_button_without_such_a_contact_may_be_for_anything() -> None:
    assert fired(SLUG, design(start("RD", "K1:A2"))) == []


@pytest.mark.parametrize(("colour", "count"), [("WH", 0), ("GY", 0), ("BK", 0), ("BU", 1), ("GN", 1)])
def test_a_button_that_starts_and_resets_has_a_colour_of_both(colour: str, count: int) -> None:
    """Reset blue, white, grey or black; start white, grey, black or green: white, grey or black are left."""
    body = start(colour) + "stops:\n  halt: {devices: [S1], category: 0, reset: S3, removes: []}\n"
    body = body.replace("  S3:", "  S1: {kind: emergency-stop, colour: RD, contacts: {11-12: NC direct}}\n  S3:")
    assert [finding.subjects for finding in fired(SLUG, design(body))] == [("S3",)] * count


# The usual motor starter of the textbooks: the overload relay's break contact 95-96 between the start and the coil.
@pytest.mark.parametrize(("coil", "starts"), [("F4:96", True), ("S3:13", False)])
def test_other_contacts_may_lie_before_the_coil_that_holds_itself_in(coil: str, starts: bool) -> None:
    """A contact across the button of a relay that is fed past it makes nothing hold: the button may be for anything."""
    body = start("RD").replace("from: S3:14, to: K1:A1", f'from: "{coil}", to: K1:A1')
    body = body.replace(
        "  S3:", "  F4: {kind: selector, contacts: {95-96: NC}}\n  H1: {kind: lamp, rated: 24 V DC 1 W}\n  S3:"
    )
    body += "  - {wire: 5, through: [S3:14, F4:95, H1:X1]}\n  - {wire: 6, from: H1:X2, to: G1:V-}\n"
    assert bool(fired(SLUG, design(body))) is starts


@pytest.mark.parametrize(("colour", "count"), [("BK", 0), ("WH", 0), ("RD", 0), ("GN", 1), ("BU", 1)])
def test_a_button_that_breaks_the_way_of_a_coil_that_holds_itself_stops(colour: str, count: int) -> None:
    """IEC 60204-1, 10.2.1: stop is black, grey, white or red, never green."""
    text = (
        start("WH")
        .replace("[G1:V+, S3:13, K1:13]", "[S4:12, S3:13, K1:13]")
        .replace("  S3:", f"  S4: {{kind: push-button, colour: {colour}, contacts: {{11-12: NC}}}}\n  S3:")
    )
    text += '  - {wire: 5, from: G1:V+, to: "S4:11"}\n'
    assert [one.subjects for one in fired(SLUG, design(text))] == [("S4",)] * count
