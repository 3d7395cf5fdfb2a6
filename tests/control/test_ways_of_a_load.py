"""Through what a load is fed, and which contacts part it from its supply: by hand, on small circuits."""

from __future__ import annotations

from circuits import two_channels
from helpers import design

from wiring.control.cut import cut_layers
from wiring.control.feeding_paths import feeding_path, returning_path, whole_circuit
from wiring.control.script import Probe, Target
from wiring.solver.assembly import Position
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate

#: Two poles side by side, and a third behind them, in front of one lamp on the rail of a supply.
SIDE_BY_SIDE = """
mains: {inlet: X0, system: single-phase, voltage: 230 V}
parts:
  X0: {kind: inlet}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, wires_per_terminal: 4}
  S1: {kind: selector, contacts: {13-14: NO}}
  S2: {kind: selector, contacts: {13-14: NO}}
  S3: {kind: selector, contacts: {13-14: NO}}
  H1: {kind: lamp, rated: 24 V DC 1 W}
wires:
  - {wire: 1, from: X0:L, to: G1:L}
  - {wire: 2, from: X0:N, to: G1:N}
  - {wire: 3, from: G1:V+, to: S1:13}
  - {wire: 4, from: S1:13, to: S2:13}
  - {wire: 5, from: S1:14, to: S2:14}
  - {wire: 6, from: S2:14, to: S3:13}
  - {wire: 7, from: S3:14, to: H1:X1}
  - {wire: 8, from: H1:X2, to: G1:V-}
"""
LAMP = Target("H1", (Probe("H1", "X1", "X2", "DC", 1.0),))


def points(text: str, *worked: str) -> tuple[OperatingPoint, OperatingPoint]:
    """The machine with some operators worked, and with none."""
    lowered = design(text).machine.lowered
    moved = frozenset((name, "operator") for name in worked)
    return operate(lowered, Position(moved)), operate(lowered, Position())


def test_contacts_side_by_side_are_one_layer_and_one_behind_them_is_another() -> None:
    """By Menger's theorem on the graph of the contacts: S3 alone parts the lamp, then S1 and S2 together."""
    running, stopped = points(SIDE_BY_SIDE, "S1", "S2", "S3")
    assert cut_layers(running, stopped, LAMP) == (("S3:13-14",), ("S1:13-14", "S2:13-14"))


def test_what_the_stop_leaves_closed_parts_nothing() -> None:
    running, _ = points(SIDE_BY_SIDE, "S1", "S2", "S3")
    held, _ = points(SIDE_BY_SIDE, "S1", "S3")
    assert cut_layers(running, held, LAMP) == ()


def test_a_load_is_fed_through_its_supply_and_returns_to_that() -> None:
    """By hand: S3, then S1 or S2, then G1 and the mains behind it. Wires in a cabinet are not told, all else is."""
    point, _ = points(SIDE_BY_SIDE, "S1", "S3")
    assert feeding_path(point, "H1", ("X1",)) == ("S3:13-14", "S1:13-14", "G1")
    assert returning_path(point, "H1", "X2") == ()
    told = {"S3:13-14", "S1:13-14"}
    assert whole_circuit(point, "H1", "X1", "X2") == told | {"1", "2", "3", "5", "6", "7", "8"}


def test_a_return_ends_at_the_supply_and_does_not_go_on_to_the_earth() -> None:
    """G1:V- is earthed by wire 5 (`two_channels`), and the coil of K1 returns to G1 by wire 16 alone."""
    point, _ = points(two_channels())
    assert "5" not in whole_circuit(point, "K1", "A1", "A2")
    assert "16" in whole_circuit(point, "K1", "A1", "A2")
