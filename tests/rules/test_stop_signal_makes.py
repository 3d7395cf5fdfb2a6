"""Signals that stop open: IEC 60204-1, 9.2.2 and 9.4.1, loss of continuity; red stops, black may (10.2.1) (memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import results
from says import assert_says
from small_plans import plan

from wiring.design.design import Design
from wiring.findings import Finding

SLUG = "stop-signal-makes"


def read(part: str, function: str = "", ends: tuple[str, str] = ("13", "14"), more: str = "") -> Design:
    """An operator S5 read by input I7."""
    card = f"A1: {{kind: io-card, inputs: {{I7: sink}}, input_voltage: 24 V DC, common: COM{function}}}"
    wires = (("X1:2", f"S5:{ends[0]}"), (f"S5:{ends[1]}", "A1:I7"), ("X2:2", "A1:COM"))
    lines = "\n".join(f"- {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(wires, 1))
    return design(plan(f"S5: {{kind: {part}}}\n{card}{more}", lines))


MAKE, BREAK = "contacts: {13-14: NO}", "contacts: {13-14: NC}"
STOP, LIMIT, RUN = (f", functions: {{I7: {word}}}" for word in ("stop", "limit", "run"))


@pytest.mark.parametrize(
    ("part", "function", "answer"),
    [
        (f"push-button, {MAKE}", STOP, "told"),
        (f"push-button, {BREAK}", STOP, ""),
        (f"push-button, colour: BK, {MAKE}", RUN, ""),
        (f"push-button, colour: BK, {MAKE}", "", "asked"),
        (f"push-button, colour: BK, {BREAK}", "", ""),
        (f"push-button, colour: RD, {MAKE}", "", "told"),
        (f"push-button, colour: RD, {BREAK}", "", ""),
        (f"push-button, colour: WH, {MAKE}", "", ""),
        (f"selector, {MAKE}", STOP, "told"),
        (f"pressure-switch, {MAKE}", LIMIT, "told"),
        (f"pressure-switch, {MAKE}", "", ""),
        (f"guard-switch, {MAKE}", STOP, "told"),
        (f"foot-switch, {BREAK}", LIMIT, ""),
    ],
)
def test_what_stops_opens(part: str, function: str, answer: str) -> None:
    found = results(SLUG, read(part, function))
    assert [("told" if isinstance(one, Finding) else "asked", one.subjects[0]) for one in found] == (
        [(answer, "S5")] if answer else []
    )


def test_what_it_says() -> None:
    [finding] = results(SLUG, read(f"push-button, title: end, {MAKE}", STOP))
    assert isinstance(finding, Finding)
    assert finding.summary == "S5 (end) is read by the make contact 13-14, and A1:I7 reads it as a stop"
    assert_says(finding, "CAUTION", mend="break contact of S5")


def test_a_branch_that_the_input_does_not_hang_on_is_no_stop() -> None:
    """The input reads the rail behind S5; a start button S6 hangs on that rail and feeds a lamp: it stops nothing."""
    more = "\nS6: {kind: push-button, contacts: {13-14: NO}}\nH1: {kind: lamp, rated: 24 V DC 1 W}"
    card = "A1: {kind: io-card, inputs: {I7: sink}, input_voltage: 24 V DC, common: COM, functions: {I7: stop}}"
    ends = ("X1:2", "S5:11"), ("S5:12", "A1:I7"), ("X2:2", "A1:COM"), ("S5:12", "S6:13"), ("S6:14", "H1:X1")
    wires = "\n".join(f"- {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate((*ends, ("H1:X2", "X2:3"))))
    assert results(SLUG, design(plan(f"S5: {{kind: push-button, contacts: {{11-12: NC}}}}\n{card}{more}", wires))) == []
