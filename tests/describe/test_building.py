"""What lies in the building, and outputs of a controller that is there, as a description gives them."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from second_judge import joins, parts_of

from wiring.describe.build import Refused
from wiring.describe.draft import Chosen
from wiring.describe.generate import plan_of
from wiring.describe.reading import read_description
from wiring.describe.settling import composed

ROASTER = """describe: Roaster
rulebook: iec
mains: {system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1.1 kA, rcd: none,
        upstream: {kind: breaker, rating: 16 A, curve: B}, connection: fixed, shared: false,
        feed: {size: 6 mm2, protective_size: 2.5 mm2, length: 18 m, insulation: pvc-70, method: C, grouped_with: 0}}
loads:
  fan: {kind: appliance, rated: 230 V AC 100 W}
"""


def test_a_protective_conductor_of_the_building_that_is_too_thin_is_refused_at_the_feed(tmp_path: Path) -> None:
    """Up to 16 mm2 it is as thick as the line (IEC 60364-5-54, table 54.2): 6 mm2."""
    path = tmp_path / "machine.yaml"
    path.write_text(ROASTER, encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    with pytest.raises(Refused, match=r"2\.5 mm2; 6 mm2 is the least") as refused:
        composed(found.description, found.tree, "machine.yaml")
    assert refused.value.path == ("mains", "feed")


CARVER = """describe: Carver
rulebook: iec
mains: {system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA, rcd: none,
        upstream: {kind: breaker, rating: 16 A, curve: B}, connection: fixed, shared: false}
controller: {kind: controller, supply: {between: [24V, 0V], voltage: 24 V DC, current: 250 mA}, common: 0V,
             input_type: 3, input_voltage: 24 V DC, boot: "off", output_common: GND,
             inputs: {I1: sink, I2: sink, I3: sink, I4: sink, I5: sink, I6: sink},
             outputs: {EN: push-pull 5 V, DA: push-pull 5 V, SA: push-pull 5 V, DB: push-pull 5 V, SB: push-pull 5 V,
                       O1: pnp, O2: pnp}, FUNCTIONS}
axes:
  A: {motor: motor-frame-23-2.2nm, mass: 5 kg, screw: 5 mm, speed: 1 m/min}
  B: {like: A}
"""


def test_drives_share_an_enable_output_where_there_is_one_and_each_output_does_what_it_is_for(tmp_path: Path) -> None:
    path = tmp_path / "machine.yaml"
    words = "functions: {EN: enable, SA: step, DA: direction, SB: step, DB: direction}"
    path.write_text(CARVER.replace("FUNCTIONS", words), encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    plan = yaml.load(plan_of(found.description, found.tree, Chosen()), Loader=yaml.BaseLoader)
    led = {start: end for _, start, end in joins(plan) if start.startswith("A1:")}
    drives = [name for name, data in parts_of(plan).items() if data["kind"] == "stepper-drive"]
    inputs = {output: led[f"A1:{output}"].split(":") for output in ("SA", "DA", "SB", "DB")}
    assert [inputs[output][0] for output in ("SA", "DA", "SB", "DB")] == [drives[0], drives[0], drives[1], drives[1]]
    assert inputs["SA"][1] == inputs["SB"][1] != inputs["DA"][1] == inputs["DB"][1]
    row = led["A1:EN"].split(":")[0]
    shared = [end.split(":") for _, start, end in joins(plan) if start.split(":")[0] == row]
    assert [name for name, _ in shared] == drives
    assert len({end for _, end in shared}) == 1
