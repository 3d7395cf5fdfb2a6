"""Air for a battery on charge: Q = 0.05 n Igas C / 1000 m3/h, 28 cm2 of opening for 1 m3/h (IEC 62485-2, 7.2, 7.3)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "battery-gas-kept-in"
LEAD, WET, IRON = ("chemistry: " + word for word in ("valve-regulated-lead", "vented-lead", "lithium-iron-phosphate"))


def cabinet(battery: str, enclosure: str = "protection: IP66", charger: str = "output: 27.4 V DC") -> str:
    return f"""
enclosure: {{{enclosure}}}
parts:
  G1: {{kind: charger, input: 230 V AC, rated: 5 A, {charger}}}
  GB1: {{kind: battery, voltage: 24 V DC, {battery}}}
wires:
  - {{wire: 1, from: "G1:V+", to: "GB1:+"}}
  - {{wire: 2, from: "G1:V-", to: "GB1:-"}}
"""


@pytest.mark.parametrize(
    ("battery", "enclosure", "charger", "answer"),
    [
        (f"capacity: 18 Ah, {LEAD}", "protection: IP66", "output: 27.4 V DC", "told"),
        (f"capacity: 18 Ah, {LEAD}, at: outside", "protection: IP66", "output: 27.4 V DC", ""),
        (f"capacity: 18 Ah, {LEAD}, gas_outside: true", "protection: IP66", "output: 27.4 V DC", ""),
        (f"capacity: 18 Ah, {LEAD}", "protection: IP54", "output: 27.4 V DC", "asked"),
        (f"capacity: 18 Ah, {LEAD}", "protection: IP54, ventilated: false", "output: 27.4 V DC", "told"),
        (f"capacity: 18 Ah, {LEAD}", "ventilated: true", "output: 27.4 V DC", ""),
        (f"capacity: 18 Ah, {LEAD}", "fan: {airflow: 20 m3/h}", "output: 27.4 V DC", ""),
        (f"capacity: 18 Ah, {IRON}", "protection: IP66", "output: 28.4 V DC", ""),
        # 0.05 x 12 x 5 x 100 / 1000 = 0.3 m3/h and 8.4 cm2; boosted four times as much, more than 10 cm2
        (f"capacity: 100 Ah, {WET}", "ventilated: true", "output: 27.4 V DC", ""),
        (f"capacity: 100 Ah, {WET}", "ventilated: true", "output: 27.4 V DC, boost: 28.8 V DC", "told"),
        ("capacity: 18 Ah", "protection: IP66", "output: 27.4 V DC", "asked"),
        (LEAD, "protection: IP66", "output: 27.4 V DC", "asked"),
    ],
)
def test_the_gas_of_a_battery(battery: str, enclosure: str, charger: str, answer: str) -> None:
    plan = design(cabinet(battery, enclosure, charger))
    found = "told" if fired(SLUG, plan) else "asked" if open_questions(SLUG, plan) else ""
    assert found == answer


def test_what_it_says() -> None:
    """0.05 x 12 x 1 x 18 / 1000 = 0.0108 m3/h, through 0.30 cm2; 24 x 0.42 x 5 / 1000 is 0.0504."""
    [finding] = fired(SLUG, design(cabinet(f"capacity: 18 Ah, {LEAD}")))
    assert_says(
        finding,
        "WARNING",
        limit=(0.0504 * 12 * 0.001 * 18, "m3/h", "IEC 62485-2 7.2, table 1"),
        number=("air", 0.0, "m3/h"),
        mend="0.3 cm2",
    )
