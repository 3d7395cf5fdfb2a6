"""A machine that never comes to rest is left where its rounds would have left it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design

from wiring.solver import settling
from wiring.solver.assembly import Position
from wiring.solver.operating import OperatingPoint

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL

#: Relays that each let the next one go: K3 behind its own break contact turns every other round, K4 to K6 round a ring
#: of three, each held off by the one before it.
OWN_CONTACT = """  K3: {kind: relay, coil: 230 V AC 5 W, contacts: {21-22: NC}}
"""
RING = """  K4: {kind: relay, coil: 230 V AC 5 W, contacts: {21-22: NC}}
  K5: {kind: relay, coil: 230 V AC 5 W, contacts: {21-22: NC}}
  K6: {kind: relay, coil: 230 V AC 5 W, contacts: {21-22: NC}}
"""


def fed(coil: str, contact: str, first: int) -> str:
    """A coil behind a break contact."""
    wires = (("X0:L", f"{contact}:21"), (f"{contact}:22", f"{coil}:A1"), (f"{coil}:A2", "X0:N"))
    return "".join(
        f"  - {{wire: {first + n}, from: {start}, to: {end}, size: 1.5 mm2, length: 1 m}}\n"
        for n, (start, end) in enumerate(wires)
    )


BUZZER = SEAL.replace("  E1:", OWN_CONTACT + "  E1:") + fed("K3", "K3", 20)
THREE = SEAL.replace("  E1:", RING + "  E1:") + fed("K4", "K6", 20) + fed("K5", "K4", 30) + fed("K6", "K5", 40)


def stands(text: str) -> OperatingPoint:
    return settling.operate(design(text).machine.lowered, Position())


@pytest.mark.parametrize("text", [BUZZER, THREE], ids=["buzzer", "ring"])
def test_it_stands_as_after_all_rounds(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """The reference is the same machine played through all rounds."""
    short = stands(text)
    monkeypatch.setattr(settling, "goes_round", lambda past, left: False)
    whole = stands(text)
    assert not whole.settled
    assert (short.attracted, short.live, short.unsettled) == (whole.attracted, whole.live, whole.unsettled)


def test_four_turns_end_it_only_where_the_rounds_left_end_alike() -> None:
    on, off = frozenset({"K3"}), frozenset()
    assert settling.goes_round([on, off] * 4, 52)
    assert not settling.goes_round([on, off] * 4, 51)
    assert not settling.goes_round([on, off] * 3 + [on, on], 52)
    assert not settling.goes_round([on] * 24, 36)


def test_a_seal_behind_a_transformer_stands_from_the_first_guess_of_its_voltage() -> None:
    """By hand: 230/24 V at the primary's nominal voltage give 24 V, at which K1 holds itself; a guess far below lets it
    go, and nothing would attract it again."""
    behind = (
        SEAL.replace("coil: 230 V AC 5 W", "coil: 24 V AC 5 VA")
        .replace("  E1:", "  T1: {kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 63 VA}\n  E1:")
        .replace("from: X0:L, to: S1:11", "from: T1:2.1, to: S1:11")
        .replace("from: K1:A2, to: X0:N", "from: K1:A2, to: T1:2.2")
    )
    wires = (("X0:L", "T1:1.1"), ("X0:N", "T1:1.2"))
    behind += "".join(f"  - {{wire: {20 + n}, from: {a}, to: {b}}}\n" for n, (a, b) in enumerate(wires))
    assert stands(behind).attracted == {("K1", "coil")}


def test_a_supply_that_takes_what_it_gives_is_looked_at_once_more_and_no_oftener(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The loads of the first pass set what its input draws, the second finds that unchanged: a supply of 24 V that
    feeds a converter needs three at the most, one for each."""
    passes = []
    layer = settling._layer

    def counted(*arguments: object) -> object:
        passes.append(arguments[1])
        return layer(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr(settling, "_layer", counted)
    made = design("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  G2: {kind: converter, input: 18..36 V DC, output: 5 V DC, rated: 2 A, efficiency: 80 %}
  E1: {kind: load, rated: 5 V DC 4 W}
wires:
  - {wire: 1, from: G1:V+, to: G2:IN+, size: 2.5 mm2, length: 1 m}
  - {wire: 2, from: G1:V-, to: G2:IN-, size: 2.5 mm2, length: 1 m}
  - {wire: 3, from: G2:V+, to: E1:1, size: 2.5 mm2, length: 1 m}
  - {wire: 4, from: G2:V-, to: E1:2, size: 2.5 mm2, length: 1 m}
""")
    states = len(made.states)
    assert 2 * states <= passes.count("DC") <= 3 * states


def test_a_saturated_transformer_takes_current_in_place_of_voltage() -> None:
    """A core is saturated above its highest voltage (common practice, no source): with its primary in series with its
    own secondary, the neutral on 2.1 and the load on 1.2, each round would raise the last by the ratio without end."""
    made = design("""
mains: {inlet: X0, system: single-phase, voltage: 120 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}
parts:
  X0: {kind: inlet}
  T1: {kind: transformer, primary: 120 V AC, secondary: 150 V AC, rated: 400 VA}
  E1: {kind: load, rated: 150 V AC 140 W}
wires:
  - {wire: 1, from: X0:L, to: T1:1.1, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: X0:N, to: T1:2.1, size: 1.5 mm2, length: 1 m}
  - {wire: 3, from: T1:1.2, to: E1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 4, from: T1:2.2, to: E1:2, size: 1.5 mm2, length: 1 m}
""")
    point = settling.operate(made.machine.lowered, Position())
    no_load = 150.0 * 1.08
    assert abs(point.between(("T1", "2.1"), ("T1", "2.2"), "AC")) <= 1.5 * no_load
