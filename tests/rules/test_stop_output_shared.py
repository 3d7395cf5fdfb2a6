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
    assert_says(finding, "WARNING", mend="Lead K2 to an output of K0 of its own")


def on_outputs(first: str, second: str, between: str = "") -> str:
    """A drive with two torque-off inputs on outputs of the stop relay of `two_channels`, its power never taken."""
    text = two_channels().replace(
        "  E1:",
        "  D9: {kind: inverter, supply: 230 V AC, rated: 750 W, sto: [STO1+-STO1-, STO2+-STO2-]}\n"
        "  K9: {kind: relay, coil: 24 V DC 1 W, contacts: {11-12: NC}}\n"
        "  M9: {kind: motor, voltage: 230 V AC, rated_power: 500 W, metal: false}\n  E1:",
    )
    ends = ["X0:L>D9:L", "X0:N>D9:N", "D9:U>M9:U", "D9:V>M9:V", "D9:W>M9:W", "D9:STO1->G1:V-", "D9:STO2->G1:V-"]
    ends += [f"{first}>D9:STO1+", f"{second}>{between or 'D9:STO2+'}", *(["K9:12>D9:STO2+"] if between else [])]
    lines = "".join(
        f"  - {{wire: 9{n}, from: '{a}', to: '{b}'}}\n" for n, (a, b) in enumerate(end.split(">") for end in ends)
    )
    return text.replace("wires:\n", f"wires:\n{lines}")


def test_both_torque_off_inputs_on_one_output() -> None:
    """IEC 61800-5-2, 4.2.2.2: two inputs are two channels only as far as what feeds them is."""
    assert fired(SLUG, design(on_outputs("K0:14", "K0:24"))) == []
    [finding] = fired(SLUG, design(on_outputs("K0:14", "K0:14")))
    assert finding.subjects == ("K0", "D9", "emergency")
    assert finding.summary.startswith("D9:STO1+ and D9:STO2+ hang on the one output K0:13-14: when it stays live, M9")
    [bridged] = fired(SLUG, design(on_outputs("K0:14", "D9:STO1+")))
    assert bridged.subjects == finding.subjects


def test_a_break_contact_in_between_is_no_channel() -> None:
    [finding] = fired(SLUG, design(on_outputs("K0:14", "K0:14", "K9:11")))
    assert "D9" in finding.subjects


def test_an_input_and_a_contactor_of_one_drive_are_two_channels() -> None:
    """K9 takes the power of the drive away and hangs on the output of its torque-off input."""
    apart = on_outputs("K0:14", "K0:24").replace("from: 'X0:L', to: 'D9:L'", "from: 'K1:2', to: 'D9:L'")
    assert fired(SLUG, design(apart)) == []
