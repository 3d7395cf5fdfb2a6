"""Small circuits whose whole fault table is derived by hand, fault by fault; what a set does not name must be safe.

The derivations use the fault models of ISO 13849-2 annex D (from memory) and Kirchhoff's laws alone.
"""

from __future__ import annotations

import pytest
from circuits import SEAL, two_channels
from helpers import design
from msgspec.structs import replace

from wiring.control.faults import single_faults
from wiring.control.numeric_simulation import run_script
from wiring.control.screening import screen_faults
from wiring.control.script import Moment
from wiring.control.verdicts import Verdict
from wiring.design.stop.groups import fault_groups
from wiring.design.stop.proof import full_proof
from wiring.design.stop.records import StopResult


def proved(text: str) -> StopResult:
    return full_proof(design(text).stopping).results["emergency"]


def assert_table(result: StopResult, dangerous: set[str], left_out: set[str], hidden: set[str]) -> None:
    """The whole table: dangerous faults, those that annex D lets out, hidden ones; every other fault is safe."""
    expected = dict.fromkeys(dangerous | left_out, Verdict.DANGEROUS) | dict.fromkeys(hidden, Verdict.HIDDEN)
    found = {one.fault.id: one.verdict for one in result.verdicts}
    assert found == {name: expected.get(name, Verdict.SAFE) for name in found}
    assert set(expected) <= set(found)
    assert {
        one.fault.id for one in result.verdicts if one.fault.excluded and one.verdict is Verdict.DANGEROUS
    } == left_out


def test_seal_in() -> None:
    """One contactor, sealed in behind S2, the stop contact S1 in the live side.

    K1:1-2 welded or K1 stuck: the heater stays on. K1:13-14 welded, S2 welded or held: the coil is fed as soon as S1 is
    released. S1 welded: out by direct opening. L on the coil, K1:A1 touching 1, or on its seal, 1 on 13 and 2 on 14,
    feeds it past S1: left out inside the cabinet. Whatever opens or no longer attracts only takes power away; whatever
    touches earth shorts the live conductor to its source or lies on the neutral, and replaces no contact.
    """
    result = proved(SEAL)
    assert_table(
        result,
        {"weld:K1:1-2", "held:K1:coil", "weld:K1:13-14", "weld:S2:13-14", "jammed:S2"},
        {"weld:S1:11-12", "bridge:K1:A1+1", "bridge:K1:1+13", "bridge:K1:2+14"},
        set(),
    )
    moments = {one.fault.id: one.moment for one in result.dangerous}
    assert moments["weld:K1:1-2"] == "stop worked"
    assert moments["weld:S2:13-14"] == "stop released"
    assert result.sound[0].again


CROSS_SHORTS = {
    "cores:C1.1+C1.2",  # bridges S1:11-12
    "cores:C1.3+C1.4",  # bridges S1:21-22
    "cores:C1.1+C1.4",  # S11 feeds channel 2 past both contacts
    "cores:C1.2+C1.3",  # S21 feeds channel 1 past both contacts
    "cores:C1.2+C1.4",  # joins both channels behind the contacts: harmless until one of them is bridged
}


def test_two_channels_without_detection_of_cross_shorts() -> None:
    """Both channels stand at the same polarity. A bridge feeds one of them for ever; the other still opens K0.

    No single fault keeps both contactors in. The unit does not compare its channels, so that each bridge stays unseen
    and a second one that feeds the other channel defeats the stop. C1.1 with C1.3 joins what S11 and S21 feed alike.
    Welded contactors are seen: their mirror contact keeps the reset loop open.
    """
    result = proved(two_channels())
    assert_table(result, set(), {"held:K0:outputs"}, CROSS_SHORTS)
    following = {one.fault.id: set(one.next) for one in result.hidden}
    assert following["cores:C1.1+C1.2"] == {"cores:C1.3+C1.4", "cores:C1.1+C1.4", "cores:C1.2+C1.4"}


def test_two_channels_with_detection_of_cross_shorts() -> None:
    """The channels stand at opposite polarity, and the unit wants both of them open before it takes a reset.

    A bridge over one contact keeps that channel closed: no reset counts any more. A bridge between the channels
    halves both voltages, which no channel holds on to: the machine stops at once.
    """
    proof = full_proof(design(two_channels(cross_fault=True)).stopping)
    result = proof.results["emergency"]
    assert_table(result, set(), {"held:K0:outputs"}, set())
    for fault in proof.faults:
        if fault.id in CROSS_SHORTS:
            seen = run_script(proof.running, result.use, "S1", (fault,))
            assert seen[Moment.AGAIN].alive == (), fault.id


def test_feedback_missing() -> None:
    """The same without mirror contacts in the loop: a welded contactor starts again, and the next one is dangerous."""
    result = proved(two_channels(feedback=False))
    welds = {"weld:K1:1-2", "held:K1:coil", "weld:K2:1-2", "held:K2:coil"}
    assert_table(result, set(), {"held:K0:outputs"}, CROSS_SHORTS | welds)
    following = {one.fault.id: set(one.next) for one in result.hidden}
    assert following["weld:K1:1-2"] == {"weld:K2:1-2", "held:K2:coil"}


def test_one_contactor_behind_two_channels() -> None:
    """Everything hangs on K1: its weld is dangerous. Inside the unit, 14 touching 23 feeds K1 from the 24 V at 23."""
    assert_table(
        proved(two_channels(poles=1)),
        {"weld:K1:1-2", "held:K1:coil"},
        {"held:K0:outputs", "weld:K0:13-14", "bridge:K0:14+23"},
        CROSS_SHORTS,
    )


def test_a_reset_that_counts_while_it_is_held() -> None:
    """With a manual reset that is not monitored, a stuck button starts the machine when the stop is released.

    S34 touching S33 or the 24 V at 13 closes the reset input for ever: the same, left out inside the cabinet.
    """
    assert_table(
        proved(two_channels(reset="manual")),
        {"weld:S2:13-14", "jammed:S2"},
        {"held:K0:outputs", "bridge:K0:S33+S34", "bridge:K0:S34+13"},
        CROSS_SHORTS,
    )


def test_an_earth_fault_takes_the_place_of_a_contact_on_the_earthed_side() -> None:
    """S1 between the coil and N: wire 9 to earth closes the coil through the earthed star."""
    text = SEAL.replace("from: X0:L, to: S1:11", "from: X0:N, to: S1:11")
    text = text.replace("from: S1:12, to: S2:13", "from: X0:L, to: S2:13").replace(
        "from: K1:A2, to: X0:N", "from: K1:A2, to: S1:12"
    )
    result = proved(text)
    dangerous = {one.fault.id for one in result.dangerous}
    # Wire 9 runs from the coil to S1:12. All other wires lie on L, where earth shorts the mains, or on N itself.
    assert {name for name in dangerous if name.startswith("earth:")} == {"earth:9"}
    # A2 touching 2 leads L through the closed pole to the coil's return and through S1 to N: the mains collapse while
    # S1 is closed. With S1 open the coil has L on both ends. So only the contacts of the seal-in circuit remain.
    assert dangerous - {"earth:9"} == {"weld:K1:1-2", "held:K1:coil", "weld:K1:13-14", "weld:S2:13-14", "jammed:S2"}


@pytest.mark.parametrize(("lamp_w", "stays"), [(5.0, True), (1.0, False)])
def test_a_lamp_across_the_stop_contact_holds_the_contactor(lamp_w: float, stays: bool) -> None:
    """With S1 open the lamp is in series with the coil. Coil: |Z| = 230² · 0.3 / 5 = 3174 ohm at power factor 0.3.

    Lamp of 5 W: 10 580 ohm; |Z total| = |10580 + 952 + j 3028| = 11 923, coil 61 V, above the drop-out of 46 V: it
    stays in. Lamp of 1 W: 52 900 ohm, |Z total| = 53 937, coil 13.5 V: it lets go.
    """
    text = SEAL.replace("  E1:", f"  H1: {{kind: lamp, rated: 230 V AC {lamp_w} W}}\n  E1:")
    text += "  - {wire: 20, from: S1:11, to: H1:X1, size: 1 mm2, length: 1 m}\n"
    text += "  - {wire: 21, from: S1:12, to: H1:X2, size: 1 mm2, length: 1 m}\n"
    sound = design(text).stop_proof.results["emergency"].sound[0]
    assert sound.left == (("E1",) if stays else ())


def test_two_contactors_of_which_one_is_never_exercised() -> None:
    """K2 hangs on the mains past the stop: it opens nothing, and K1 alone carries the stop."""
    text = SEAL.replace("  E1:", "  K2: {kind: contactor, poles: 1, coil: 230 V AC 5 W}\n  E1:")
    text = text.replace("from: K1:2, to: E1:1", "from: K1:2, to: K2:1")
    text += "  - {wire: 20, from: K2:2, to: E1:1, size: 1 mm2, length: 1 m}\n"
    text += "  - {wire: 21, from: X0:L, to: K2:A1, size: 1 mm2, length: 1 m}\n"
    text += "  - {wire: 22, from: X0:N, to: K2:A2, size: 1 mm2, length: 1 m}\n"
    result = proved(text)
    at_the_stop = {one.fault.id for one in result.dangerous if one.moment == "stop worked"}
    assert at_the_stop == {"weld:K1:1-2", "held:K1:coil"}


TIMED = (
    SEAL.replace("category: 0", "category: 1")
    .replace("  E1:", "  K3: {kind: relay, coil: 230 V AC 2 W, off_delay: 500 ms, contacts: {11-14: NO}}\n  E1:")
    .replace("from: X0:L, to: K1:1,", "from: X0:L, to: K3:11,")
    .replace("from: K1:2, to: E1:1", "from: K3:14, to: E1:1")
    + "  - {wire: 20, from: K1:A1, to: K3:A1, size: 1 mm2, length: 1 m}\n"
    + "  - {wire: 21, from: K1:A2, to: K3:A2, size: 1 mm2, length: 1 m}\n"
)


def test_category_1_with_a_stuck_timer() -> None:
    """The heater stays on for the delay, then goes. A timer that never lets go, or its welded contact, is dangerous."""
    result = proved(TIMED)
    assert result.sound[0].late == ("E1",)
    assert result.sound[0].left == ()
    at_the_stop = {one.fault.id for one in result.dangerous if one.moment == "stop worked"}
    assert at_the_stop == {"held:K3:coil", "weld:K3:11-14"}


def _with_relays(extra_parts: str, extra_wires: str) -> str:
    return two_channels().replace("  E1:", f"{extra_parts}  E1:").replace("cables:", f"{extra_wires}cables:")


def test_buzzer_and_race_are_told_apart() -> None:
    """A coil behind its own break contact never rests in any order. Two that lock each other out rest as soon as one is
    faster, and which of them attracts depends on that."""
    relay = "  {name}: {{kind: relay, coil: 24 V DC 1 W, contacts: {{21-22: NC}}}}\n"
    wire = "  - {{wire: {n}, from: '{a}', to: '{b}', size: 1 mm2, length: 1 m}}\n"
    own = wire.format(n=90, a="G1:V+", b="K8:21") + wire.format(n=91, a="K8:22", b="K8:A1")
    own += wire.format(n=92, a="K8:A2", b="G1:V-")
    assert design(_with_relays(relay.format(name="K8"), own)).unfaulted.unrest == (("S1", "buzzer"),)
    pairs = [("G1:V+", "K8:21"), ("K8:22", "K9:A1"), ("G1:V+", "K9:21"), ("K9:22", "K8:A1")]
    pairs += [("K8:A2", "G1:V-"), ("K9:A2", "G1:V-")]
    crossed = "".join(wire.format(n=90 + n, a=a, b=b) for n, (a, b) in enumerate(pairs))
    both = relay.format(name="K8") + relay.format(name="K9")
    assert design(_with_relays(both, crossed)).unfaulted.unrest == (("S1", "race"),)
    assert design(two_channels()).unfaulted.unrest == ()


def test_faults_come_while_the_machine_runs() -> None:
    """Whatever comes next, the sequence begins with the sound machine at work: the heater is fed in every case. A coil
    that goes dead lets K1 go, and so does wire 8 of the seal that breaks: nobody holds the start button (Kirchhoff)."""
    machine = design(SEAL)
    screenings = screen_faults(machine.lowered, machine.stopping.uses[0], single_faults(machine.circuit))
    let_go = set()
    for screening in screenings:
        seen = screening.screened[0].seen
        [(running, _)], [(_, perhaps)] = seen[Moment.RUN].targets, seen[Moment.FAULT].targets
        place = {fault.id: screening.place("S1", fault.id) for fault in screening.faults}
        assert all(running >> n & 1 for n in place.values())
        let_go |= {fault for fault, n in place.items() if not perhaps >> n & 1}
    assert {"dead:K1:coil", "open:8"} <= let_go


def test_a_hidden_fault_is_told_with_the_next_one_alone() -> None:
    """Without feedback nothing sees that K2 stays in. The next fault welds a pole of K1 or holds its coil; the weld
    alone is told, which lets the coil of K1 go and feeds E1 through both poles."""
    machine = design(two_channels(feedback=False))
    result = full_proof(machine.stopping).results["emergency"]
    [held] = [one for one in result.hidden if one.fault.id == "held:K2:coil"]
    assert held.next == ("weld:K1:1-2", "held:K1:coil")
    alone = replace(result, verdicts=(held,))
    [group] = fault_groups(alone, single_faults(machine.circuit))
    assert (group.moment, group.alive, group.devices) == (Moment.STOP, ("E1",), ("S1",))
    assert group.how == ("press S1: K0 channel1, K0 channel2, K0, K1 let go", "E1 is fed through K2:1-2, K1:1-2")
