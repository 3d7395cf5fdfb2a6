"""IEC 60204-1, 9.4.3.1.2; NFPA 79, 9.1.4: every coil returns straight to the earthed side. Each order of a button, a
coil and an overload contact in one row, by hand."""

from __future__ import annotations

from itertools import pairwise

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

from wiring.findings import Signal

SLUG = "contact-on-earthed-side"
ENDS = {"S": ("S1:13", "S1:14"), "K": ("K1:A1", "K1:A2"), "F": ("F1:95", "F1:96")}


def row(order: str, *, earthed: bool = True, book: str = "iec") -> str:
    """A button S, a coil K and an overload contact F in a row between plus and 0 V of a supply."""
    points = [("", "G1:V+"), *(ENDS[name] for name in order), ("G1:V-", "")]
    wires = [f"{a[1]}>{b[0]}" for a, b in pairwise(points)] + ["X0:L>G1:L", "X0:N>G1:N", "X0:PE>G1:PE"]
    wires += ["X0:PE>G1:V-"] if earthed else []
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(w.split(">") for w in wires)
    )
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}}}
  F1: {{kind: motor-protector, poles: 3, setting: 3 A, contacts: {{95-96: NC}}}}
  K1: {{kind: contactor, poles: 1, coil: 24 V DC 3 W}}
wires:
{lines}
"""


@pytest.mark.parametrize("order", ["SFK", "FSK", "SKF", "FKS", "KSF", "KFS"])
def test_a_button_behind_the_coil_is_told_and_an_overload_contact_is_not(order: str) -> None:
    """The overload contact may stand there by the exception of NFPA 79, 9.1.4."""
    found = fired(SLUG, design(row(order)))
    assert bool(found) == (order.index("S") > order.index("K"))
    assert all("F1" not in one.subjects for one in found)
    assert fired(SLUG, design(row(order, earthed=False))) == []


def test_a_part_that_opens_both_sides_is_left_alone() -> None:
    text = row("SK").replace("contacts: {13-14: NO}", "contacts: {13-14: NO, 23-24: NO}")
    both = text.replace("from: 'K1:A2', to: 'G1:V-'", "from: 'K1:A2', to: 'S1:23'")
    both = both.replace("wires:\n", "wires:\n  - {wire: 90, from: 'S1:24', to: 'G1:V-'}\n")
    assert fired(SLUG, design(both)) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(row("KS")))
    assert finding.subjects == ("S1", "K1")
    assert_says(
        finding, "CAUTION", mend="Lead the coil of K1 straight to the earthed side, and S1:13-14 to its live side"
    )


@pytest.mark.parametrize(
    "part",
    [
        "{kind: thermal-cut-out, contacts: {13-14: NC}}",
        "{kind: guard-switch, contacts: {13-14: NC}}",
        "{kind: push-button, contacts: {13-14: NC}}",
        "{kind: limit-switch, purpose: over-travel, contacts: {13-14: NC}}",
    ],
)
def test_what_opens_to_stop_is_a_warning(part: str) -> None:
    """NFPA 79, 9.1.4; IEC 60204-1, 9.4.3.1.2: the earth fault closes past what must open."""
    text = row("KS").replace("{kind: push-button, contacts: {13-14: NO}}", part)
    [finding] = fired(SLUG, design(text))
    assert finding.signal is Signal.WARNING
