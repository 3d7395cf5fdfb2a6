"""Fault tables with the reason beside every row.

Kirchhoff's laws, and the fault models of ISO 13849-2 annex D (from memory). A row may name several faults by a pattern;
the first row that fits counts. Letters: D dangerous, L dangerous but left out by annex D, S safe, H hidden.
"""

from __future__ import annotations

from fnmatch import fnmatchcase

from circuits import SEAL, two_channels
from helpers import design

from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.design.stop.proof import full_proof

SEALED = """
open:1, open:2, open:3         S  the feed of the heater: it goes cold
open:4, open:5, open:6, open:8 S  the way through S1 and 13-14 to the coil: K1 lets go
open:7                         S  the start only: K1 stays sealed, S1 stops it, nothing starts it again
open:9                         S  the return of the coil: K1 lets go
earth:1, earth:4               S  L itself: the supply is cut
earth:2                        S  L through the closed pole: the supply is cut
earth:3, earth:9               S  N is earthed at the source: nothing changes, and no contact stands on that side
earth:5, earth:6               S  L through S1: the supply is cut
earth:7, earth:8               S  L through S1 and 13-14: the supply is cut
bridge:E1:1+2                  S  L to N through the closed pole: the supply is cut
wires:*                        S  the two wires to the heater outside touch: L to N through the poles, L is cut
bridge:X0:L+N                  S  L to N: the supply is cut
bridge:X0:N+PE                 S  N is earthed at the source already
weld:K1:1-2                    D  the pole feeds the heater whatever S1 does
stay:K1:1-2                    S  the heater is cold
weld:K1:13-14                  D  S1 stops, but on its release the coil is fed through 13-14 without S2
stay:K1:13-14                  S  no seal: K1 lets go
held:K1:coil                   D  K1 stays picked up, its pole feeds the heater
dead:K1:coil                   S  K1 lets go
bridge:K1:A1+A2                S  L through S1 and 13-14 to N: the supply is cut
bridge:K1:A2+2                 S  N to L through the closed pole: the supply is cut
bridge:K1:A1+1                 L  L feeds the coil past S1
bridge:K1:1+13                 L  L feeds 13-14 past S1, so that K1 holds itself in
bridge:K1:2+14                 L  the closed pole feeds the coil past S1
weld:S1:11-12                  L  S1 opens nothing; its contact opens by force
stay:S1:11-12                  S  K1 lets go
weld:S2:13-14, jammed:S2       D  S1 stops, but on its release the coil is fed through S2
stay:S2:13-14                  S  sealed in it runs, S1 stops it, nothing starts it again
"""

TWO_CHANNELS = """
open:*                         S  every conductor feeds something or closes a channel, a coil or the loop
earth:1                        S  L itself: the supply is cut
earth:2, earth:3               S  N is earthed at the source already
earth:*                        S  L or 24 V to earth: L is cut or G1 breaks down; 0 V is earthed already
cores:C1.1+C1.3                S  S11 and S21 stand at the same 24 V
cores:C1.1+C1.2                H  past S1:11-12; S1:21-22 still opens K0
cores:C1.3+C1.4                H  past S1:21-22; S1:11-12 still opens K0
cores:C1.1+C1.4                H  S11 feeds channel 2; channel 1 still opens K0
cores:C1.2+C1.3                H  S21 feeds channel 1; channel 2 still opens K0
cores:C1.2+C1.4                H  both open together; with another bridge both stay fed
missing:G1                     S  no 24 V: everything lets go
held:K0:outputs                L  both outputs stay closed; the inside of the unit is its maker's
weld:K0:13-14, weld:K0:23-24   S  one contactor stays in, the other lets go; the mirror of the first bars the reset
weld:K1:1-2, held:K1:coil      S  K2 lets go; the mirror of K1 bars the reset
weld:K2:1-2, held:K2:coil      S  K1 lets go; the mirror of K2 bars the reset
weld:K?:21-22                  S  the loop no longer sees that contactor; two more faults would be needed
weld:S1:*                      S  one contact opens by force at the latest; the other channel opens K0
stay:*, dead:*                 S  takes a feed, a channel or the loop away
weld:S2:13-14, jammed:S2       S  a monitored reset counts when it is let go, and it never is
bridge:K0:S33+S34              S  the same as a jammed S2 past both mirrors: it is never let go
bridge:K0:S34+13               S  24 V on the reset for ever: it is never let go
bridge:K0:14+23                S  23 feeds K1 for ever: K2 lets go, the mirror of K1 bars the reset
bridge:K0:S11+S12              S  past S1:11-12 as in the cable; the other channel opens K0
bridge:K0:S21+S22              S  past S1:21-22; the other channel opens K0
bridge:K0:S12+S21              S  24 V on channel 1; channel 2 opens K0
bridge:K0:S22+S33              S  24 V on channel 2; channel 1 opens K0
bridge:S1:12+21                S  24 V on channel 1; channel 2 opens K0
bridge:K0:A1+A2, bridge:K0:A2+S11  S  24 V to 0 V: G1 breaks down, everything lets go
bridge:K1:A1+A2, bridge:K2:A1+A2   S  the same through 13-14 or 23-24
bridge:K?:A2+2                 S  L through the poles to the earthed 0 V: L is cut
bridge:K?:A1+1                 S  L through 14 or 24 on the 24 V: G1 breaks down or L is cut
bridge:K?:1+21                 S  L on the reset, an input for DC: none is taken from then on
bridge:K?:2+22                 S  the pole puts L on the loop while both are in; open it is dead with the rest
bridge:G1:*, bridge:X0:L+N     S  source, 24 V or L short: G1 or L is cut; N and PE are one at the source
bridge:X0:N+PE                 S  N is earthed at the source already
bridge:E1:1+2                  S  L to N through both poles: L is cut
wires:*                        S  the two wires to the heater outside touch: L to N through the poles, L is cut
"""

_LETTER = {"D": Verdict.DANGEROUS, "L": Verdict.DANGEROUS, "S": Verdict.SAFE, "H": Verdict.HIDDEN}


def rows(table: str) -> list[tuple[str, str]]:
    """Pattern and letter of every row."""
    found = []
    for line in table.strip().splitlines():
        words = line.replace(", ", ",").split()
        found += [(pattern, words[1]) for pattern in words[0].split(",")]
    return found


def assert_by_hand(text: str, table: str) -> None:
    """Every fault has a row, every row has a fault, and the verdicts are those of the rows."""
    result = full_proof(design(text).stopping).results["emergency"]
    expected, used = {}, set()
    for one in result.verdicts:
        pattern, letter = next((row for row in rows(table) if fnmatchcase(one.fault.id, row[0])), ("", ""))
        expected[one.fault.id] = letter
        used.add(pattern)
    assert [fault for fault, letter in expected.items() if not letter] == []
    assert [pattern for pattern, _ in rows(table) if pattern not in used] == []
    assert {one.fault.id: told(one) for one in result.verdicts} == expected


def told(one: FaultVerdict) -> str:
    """The letter of a verdict of the proof."""
    if one.verdict is Verdict.DANGEROUS:
        return "L" if one.fault.excluded else "D"
    return next((letter for letter, verdict in _LETTER.items() if verdict is one.verdict), "?")


def test_seal_in() -> None:
    assert_by_hand(SEAL, SEALED)


def test_two_channels() -> None:
    assert_by_hand(two_channels(), TWO_CHANNELS)


def test_feedback_missing() -> None:
    """Nothing bars the reset over a welded contactor: it starts again unseen, and the other one next is dangerous."""
    table = "weld:K?:1-2, held:K?:coil  H  the other contactor still lets go, and the reset works\n"
    table += "weld:K?:21-22, bridge:K?:1+21, bridge:K?:2+22  S  the mirror contacts lead nowhere\n"
    changed = ("K1:1-2", "K2:1-2", "K?:21-22", "K?:1+21", "K?:2+22")
    assert_by_hand(two_channels(feedback=False), table + _without(TWO_CHANNELS, *changed))


def test_one_contactor() -> None:
    """What K2 did is gone: whatever keeps K1 in is dangerous."""
    table = "weld:K1:1-2, held:K1:coil  D  its pole alone feeds the heater\n"
    table += "weld:K0:13-14  L  K1 stays in; inside of the unit\nbridge:K0:14+23  L  23 feeds K1 for ever\n"
    table += "weld:K0:23-24  S  it switches nothing\nbridge:K1:A1+A2  S  24 V to 0 V through 13-14: G1 breaks down\n"
    dropped = ("K1:1-2", "K2:1-2", "K0:13-14", "14+23", "K2:A1", "K2:A2")
    assert_by_hand(two_channels(poles=1), table + _without(TWO_CHANNELS, *dropped))


def test_a_manual_reset() -> None:
    """A reset that counts while it is held starts the machine as soon as the channels close again."""
    table = "weld:S2:13-14, jammed:S2  D  the reset is closed when S1 is released\n"
    table += "bridge:K0:S33+S34, bridge:K0:S34+13  L  the same between terminals in the cabinet\n"
    assert_by_hand(two_channels(reset="manual"), table + _without(TWO_CHANNELS, "S2:13-14", "S33+S34", "S34+13"))


def _without(table: str, *names: str) -> str:
    """The rows of a table but those that a circuit changes."""
    return "\n".join(line for line in table.strip().splitlines() if not any(name in line[:40] for name in names))
