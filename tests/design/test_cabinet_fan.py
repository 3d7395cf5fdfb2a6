"""One fan described in two places cools once."""

from __future__ import annotations

import pytest

from tests.helpers import design
from wiring.design.enclosure.cabinet_temperature import fan_m3_h

CABINET = "enclosure: {{size: 600 x 800 x 250 mm, material: painted-steel, mounting: wall{fan}}}\n"
FAN = "parts:\n  E2: {{kind: fan, rated: 24 V DC 5 W{airflow}}}\n"


@pytest.mark.parametrize(
    ("of_cabinet", "of_part", "expected"),
    [
        (", fan: {airflow: 55 m3/h}", ", airflow: 80 m3/h", 55.0),
        (", fan: {airflow: 55 m3/h}", "", 55.0),
        ("", ", at: door, airflow: 80 m3/h", 80.0),
        ("", ", at: cabinet, airflow: 80 m3/h", 0.0),
        ("", ", airflow: 80 m3/h", 0.0),
        ("", "", 0.0),
    ],
)
def test_what_the_cabinet_says_counts_before_what_its_fan_is_rated(
    of_cabinet: str, of_part: str, expected: float
) -> None:
    made = design(CABINET.format(fan=of_cabinet) + FAN.format(airflow=of_part))
    assert fan_m3_h(made.machine) == pytest.approx(expected)
