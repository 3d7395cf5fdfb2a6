"""ISO 13849-1, 6.2.6: the two contactors of `two_channels` stand for each other only on outputs of their own."""

from __future__ import annotations

import sys
from pathlib import Path

from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "stop-output-shared"
SHARED = two_channels().replace("from: 'K0:24', to: 'K2:A1'", "from: 'K0:14', to: 'K2:A1'")


def test_both_coils_on_one_output() -> None:
    [finding] = fired(SLUG, design(SHARED))
    assert finding.subjects == ("K0", "K1", "K2", "emergency")
    assert "K0:13-14" in finding.summary
    assert fired(SLUG, design(two_channels())) == []


def test_a_second_load_in_a_pair_of_its_own_may_share_an_output() -> None:
    """K3 and K4 carry another heater in series; K1 and K3 on one output, K2 and K4 on the other: one stuck output
    leaves K2 and K4 to open, so nothing stays fed."""
    more = two_channels().replace(
        "  E1:",
        "  K3: {kind: contactor, poles: 1, coil: 24 V DC 3 W}\n  K4: {kind: contactor, poles: 1, coil: 24 V DC 3 W}\n"
        "  E2: {kind: heater, rated: 230 V AC 500 W, metal: false}\n  E1:",
    )
    ends = [
        "X0:L>K3:1",
        "K3:2>K4:1",
        "K4:2>E2:1",
        "E2:2>X0:N",
        "K0:14>K3:A1",
        "K0:24>K4:A1",
        "K3:A2>G1:V-",
        "K4:A2>G1:V-",
    ]
    lines = "".join(
        f"  - {{wire: 9{n}, from: '{a}', to: '{b}'}}\n" for n, (a, b) in enumerate(end.split(">") for end in ends)
    )
    assert fired(SLUG, design(more.replace("wires:\n", f"wires:\n{lines}"))) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(SHARED))
    assert_says(finding, "CAUTION", mend="coil of K2 to an output of K0 of its own")
