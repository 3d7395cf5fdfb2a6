"""Worked examples of books and pages for overcurrent devices, motors, transformers and the heat of cabinets.

Each row of tests/data/examples names its source. A row, or a single value, that nothing here answers has its reason.
"""

import pytest
from published_rows import compare, worked

from wiring.rulebooks import motors, overcurrent, transformers
from wiring.rulebooks.motors import HP_W


def motor_branch(i):
    current = motors.full_load_current(i["hp"] * HP_W, i["V"], i["phases"])
    assert current.value == i["flc_table_A"]
    device = motors.short_circuit_device(current.value, i["device"])
    return {
        "limit_A": device.limit.value,
        "max_breaker_A": device.standard.value,
    }


def dual_element(i):
    device = motors.short_circuit_device(i["flc_table_A"], "dual_element_time_delay_fuse")
    return {"limit_A": device.limit.value, "next_standard_A": device.standard.value}


def continuous_device(i):
    least = overcurrent.least_device_rating("na", i["continuous_A"], i["noncontinuous_A"]).value
    return {"min_ocpd_A": least, "standard_ocpd_A": overcurrent.next_standard("na", "breaker", least).value}


def continuous_conductor(i):
    least = overcurrent.least_device_rating("na", i["continuous_A"], i["noncontinuous_A"])
    return {"min_ampacity_A": least.value}


def secondary(i):
    current = transformers.transformer_current(i["kVA"] * 1000, i["Vs"], i["phases"])
    device = transformers.secondary_device("na", current)
    limit = i["pct_secondary"] / 100 * current
    assert f"{i['pct_secondary']} % is {limit:.3g} A" in device.note
    return {"Is_A": current, "secondary_limit_A": limit, "secondary_device_A": device.value}


def primary_250(i):
    current = transformers.transformer_current(i["kVA"] * 1000, i["Vp"], i["phases"])
    limit = transformers.primary_device(current, secondary_protected=True)
    device = transformers.standard_primary_device(limit)
    return {"Ip_A": current, "primary_limit_A": limit.value, "primary_device_A": device.value}


def control_167(i):
    current = transformers.transformer_current(i["VA"], i["Vp"], i["phases"])
    limit = transformers.primary_device(current, secondary_protected=False)
    second = transformers.transformer_current(i["VA"], i["Vs"], i["phases"])
    return {"primary_limit_A": limit.value, "Is_A": second}


def rated_primary(i):
    return {"Ip_A": transformers.transformer_current(i["kVA"] * 1000, i["Vp"], i["phases"])}


OVERCURRENT = {
    "C02": motor_branch,
    "C03": dual_element,
    "C04": continuous_device,
    "C05": continuous_conductor,
    "C06": continuous_conductor,
    "C07": secondary,
    "C08": primary_250,
    "C09": control_167,
    "C10": rated_primary,
}
LEFT_OUT = {"C02": ("min_conductor_A", "size_awg")}  # checked through the plan of the example
BY_PLAN = {"C01"}
HEAT_NOT_COVERED = {
    "F01": "an empirical line of one supplier; the stated error of the mean is held to it",
    "F02": "as F01",
    "F03": "forced convection over a bare plate, which no cabinet rule uses",
    "F04": "power of a fan in a duct, which the plan states itself",
}


@pytest.mark.parametrize("name", OVERCURRENT)
def test_overcurrent_row(name):
    example = worked("overcurrent")[name]
    compare(example, OVERCURRENT[name](example.inputs), LEFT_OUT.get(name, ()))


def test_every_row_is_covered_or_has_a_reason():
    assert set(OVERCURRENT) | BY_PLAN == set(worked("overcurrent"))
    assert set(HEAT_NOT_COVERED) == set(worked("enclosure_heat"))
