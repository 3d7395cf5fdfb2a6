"""Which terminals a motor or a drive has where the plan does not say how many phases feed it."""

from __future__ import annotations

import pytest
from marked_plans import read

HEAD = "format: 1\nmachine: Phases\nrulebook: iec\nparts:\n  P1: "


@pytest.mark.parametrize(
    ("entry", "terminals"),
    [
        ("{kind: motor, voltage: 24 V DC, rated_power: 90 W}", ["A1", "A2", "PE"]),
        ("{kind: motor, voltage: 400 V AC, rated_power: 90 W}", ["U", "V", "W", "PE"]),
        ("{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 90 W}", ["U1", "U2", "PE"]),
        ("{kind: inverter, supply: 400 V AC, rated: 1 kW}", ["L1", "L2", "L3", "PE", "U", "V", "W"]),
        ("{kind: inverter, supply: 380..480 V AC, rated: 1 kW}", ["L1", "L2", "L3", "PE", "U", "V", "W"]),
        ("{kind: inverter, supply: 200..277 V AC, rated: 1 kW}", ["L", "N", "PE", "U", "V", "W"]),
        ("{kind: inverter, supply: 400 V AC, phases: 1, rated: 1 kW}", ["L", "N", "PE", "U", "V", "W"]),
        ("{kind: servo-drive, supply: 400 V AC, rated_current: 3 A rms}", ["L1", "L2", "L3"]),
        ("{kind: inverter, supply: 560 V DC, rated: 1 kW}", ["V+", "V-", "PE", "U", "V", "W"]),
    ],
)
def test_terminals_follow_from_the_voltage(entry: str, terminals: list[str]) -> None:
    """IEC 60038, table 1: 230/400 V and 277/480 V are line to neutral and between lines; IEC 60445: A1 and A2 of DC."""
    found = list(read(f"{HEAD}{entry}\n").parts["P1"].terminals)
    assert found[: len(terminals)] == terminals
