"""The list of settings against the text of a plan and sums by hand."""

from __future__ import annotations

from tests.drawing.drawn import spec_design
from tests.helpers import design
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table

PARTS = """
parts:
  D1: {kind: stepper-drive, supply: 24..48 V DC, phase_current: 4.2 A peak, hold_current: 40 %}
  D2: {kind: stepper-drive, supply: 24..48 V DC, phase_current: 3 A rms, closed_loop: true}
  F1: {kind: motor-protector, setting: 1.1 A, range: 1..1.6 A, trip_class: 20}
  F2: {kind: electronic-fuse, rating: 4 A, limit: 150 %, time: 0.2 s}
  K1: {kind: relay, coil: 24 V DC 0.5 W, contacts: {13-14: NO}, on_delay: 3 s}
  K2: {kind: relay, coil: 24 V DC 0.5 W, contacts: {13-14: NO}}
"""


def settings(made: object) -> dict[tuple[str, str], tuple[object, object]]:
    rows = list_table(made, ListName.SETTINGS).rows  # type: ignore[arg-type]
    found = {(str(row[0]), str(row[2])): (row[3], row[4]) for row in rows}
    assert len(found) == len(rows)  # nothing is said twice of one part
    return found


def test_what_is_set_is_told_with_its_origin() -> None:
    """4.2 A peak / sqrt 2 = 2.970 A rms, 40 % of it 1.188 A; 3 A rms x sqrt 2 = 4.243 A peak."""
    found = settings(design(PARTS))
    assert found["D1", "phase current"] == ("4.2 A peak = 2.97 A rms", "plan")
    assert found["D1", "current at standstill"] == ("40 %, which is 1.19 A rms", "plan")
    assert found["D1", "mode"] == ("open loop", "not in the plan; reckoned with")
    assert found["D2", "phase current"][0] == "4.24 A peak = 3.0 A rms"
    assert found["D2", "current at standstill"][1] == "not in the plan; reckoned with"
    assert found["D2", "mode"] == ("closed loop", "plan")
    assert found["F1", "motor current on the dial"] == ("1.1 A", "plan")
    assert found["F1", "trip class"] == ("20", "plan")
    assert found["F2", "current limit, of its rating"][0] == "150 %"
    assert found["F2", "time at the limit"][0] == "0.20 s"
    assert found["K1", "on delay"] == ("3.0 s", "plan")
    assert not any(name == "K2" for name, _ in found)


def test_motors_and_states_say_what_a_drive_is_set_to() -> None:
    """Rapid moves of the gantry ask 450 rpm: 450 / 60 x 200 full steps = 1500 pulses a second."""
    gantry = settings(spec_design("foam-gantry"))
    assert gantry["D1", "phase current of the motor"] == ("4.2 A peak = 2.97 A rms", "rating of M1")
    assert gantry["D1", "highest speed asked"] == ("450 rpm", "M1 in state rapid")
    assert gantry["D1", "highest step rate asked"][0] == "1.5 kHz times the microsteps"
    stone = settings(spec_design("stone-engraver"))
    assert stone["T1", "motor power"] == ("2.2 kW", "rating of M4")
    assert stone["T1", "motor voltage"][0] == "400 V AC"
    assert stone["D1", "motor current"] == ("2.6 A rms", "rating of M1")


def test_a_machine_without_dials_has_no_list() -> None:
    table = list_table(design("parts:\n  X1: {kind: terminals, points: 2}\n"), ListName.SETTINGS)
    assert (table.rows, table.notes) == ((), ())
