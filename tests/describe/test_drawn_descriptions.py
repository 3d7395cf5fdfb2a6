"""Random descriptions: each plan is clear and stands before a second judge, or is refused with a limit that is real.

CI draws the first few; `WIRING_DESCRIBED=200` draws as many as it says, from the seed `WIRING_DESCRIBED_FROM` on, and
asks the shares of a whole sample.

Run twice, each with descriptions that were new to the code; every CLEAR plan stood before the second judge, which told
nothing:
- Code of 031c671, 200 drawn from seed 1796070528 (the second of the run): 193 CLEAR (96.5 %), 6 refused (3.0 %), 1 not
  met (0.5 %). All refusals are a spindle of 1.5 or 2.2 kW on one phase, which takes 16.2 to 21.5 A at rated power,
  behind 15 to 20 A. Not met: a heater of 12.5 A whose fuse of 20 A asked for more than its cut-out takes, among the
  cables of the axes. 20 in `users/`: 19 CLEAR (95 %), none refused, 1 not met: a battery charger without its derating.
  Processor time: median 1.6 s; four axes (48) 1.9 s, 29 of them within 2 s, the longest 10 s.
- 20 in `users/second/`, before what they showed was mended: 15 CLEAR (75 %), none refused, 3 not met, 2 not read, as
  their belts run in ft/min. Of the three two are now refused, as the residual current device of their building does
  not bear or see what they ask for; one left a question of the table of devices for several motors open.
  Then 40 drawn from seed 1796078819, the first of 200 that a loaded machine left time for: 39 CLEAR (97.5 %), 1 refused
  (2.5 %), none not met. Processor time there: median 2.1 s; four axes (13) 3.1 s.
- 12 in `users/third/`, as they stood after the messages that their first forms got: 7 CLEAR, 1 refused, 2 asked, 2 not
  met, before what they showed was mended. Nearly no plan before went into the cabinet that was described.
- 20 in `users/fourth/`, each in a cabinet that holds its parts, before what they showed was mended: 17 CLEAR (85 %), 2
  refused (10 %), 1 not met (5 %): a cabinet of IP40, which is now refused. All are read.
- 20 in `users/fifth/`, with prices and parts that are bought. As first written: 1 CLEAR, 3 refused (one of them
  wrongly: a motor protector was held to less than it bears), 2 not read, 14 asked for the material of a cabinet nobody
  had bought yet, 3 of them for the residual current device as well. With that mended and the questions answered: 18
  CLEAR (90 %), 2 refused (10 %), none not met. A rule of the same day asks for the electrode of a TT net besides.
- 32 in `users/sixth/`, as loosely as people write. As first written: 3 CLEAR, 8 refused, 4 not read, 17 asked: 14 for
  the warmest air or the protection of a cabinet nobody had bought yet (both are taken since), 5 of all for the residual
  current device, 3 for what was left out of the mains. With that answered and mended (motors and heaters for direct
  voltage, pumps, heaters beyond what a cut-out carries, a drive of 10 A): 26 CLEAR (81 %), 5 refused (16 %), 1 open:
  the proof of a battery machine with two emergency stops and seven operators does not end.
- 20 in `users/seventh/`, from README and schema alone, code of cd869358, before what they showed was mended: 8 CLEAR
  (40 %), 7 refused (3 of them rightly, the others by gaps of library and language), 3 asked (no fault current said
  twice, no method and grouping of a feed), 1 stopped (480 V), 1 not read (a source of the library without `rated`).
  With the gaps of language and library mended, the descriptions as they were: 10 CLEAR (50 %), 5 refused by what they
  give (25 %), 3 asked (15 %), 2 by gaps (10 %).
- 20 in `users/eighth/`, from README and schema alone, code of fea50407: 9 CLEAR (45 %), 7 refused (35 %: three by
  `excludes` of valves, two by a residual current device of 5 mA, a battery of 25.6 V, a feed of 50 A in North America),
  3 asked (15 %: the leakage of an inverter that is bought, twice; a proof that does not end), 1 not met (5 %): a supply
  that is bought gives less than the rapids take.
- The same two lists as they were, with locks of valves, thick feeds, low leakage, batteries of any voltage and shared
  supplies: 10 CLEAR, 5 refused, 5 asked of the seventh, 18 CLEAR, 1 refused, 1 asked of the eighth. 40 written before
  that work: 19 CLEAR (48 %), 14 refused, 3 asked, 2 not met, 2 not read at first; then 32 CLEAR (80 %), 4 refused, 4
  asked. Of 20 fresh ones 15 CLEAR (75 %), 5 refused; of 20 more, with what these showed mended, 16 CLEAR (80 %), 3
  refused (15 %), 1 asked, as first written.
- Code of 4f0cf487, 70 drawn (20 from seed 1796200000, 50 from 1796300000): 66 CLEAR (94.3 %), 4 refused, none not met.
  All CLEAR plans of an hour before were drawn, laid out, proven, powered up and compared with ngspice.
  Four axes (12): median 1.0 s of processor time on a loaded machine, 10 within 2 s, the longest 2.3 s.
- Of 200 drawn from seed 1796091840 the first 141: 139 CLEAR (98.6 %), each in a cabinet that holds it, 2 refused, none
  not met. Four axes (27): median 1.2 s of processor time on a loaded machine, 23 within 2 s, the longest 2.8 s.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import pi
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any

import pytest
import yaml
from drawn_descriptions import description, machine
from second_judge import judged, library, si, state_va
from shapely.geometry import box
from spice import need_ngspice, spice_volts

from tests.drawing.drawn import faults_of
from wiring.cabinet.records import Layout
from wiring.cabinet.study import Study
from wiring.describe.build import Refused
from wiring.describe.reading import read_description
from wiring.describe.settling import Composed, composed
from wiring.design.stop.proof import full_proof
from wiring.drawing.draw import draw
from wiring.drawing.paper import PAPERS
from wiring.powerup.sheet import build
from wiring.reports.power_up_report import render_power_up

COUNT = int(os.environ.get("WIRING_DESCRIBED", "2"))
FIRST = int(os.environ.get("WIRING_DESCRIBED_FROM", "5000"))
SEEDS = range(FIRST, FIRST + COUNT)
#: Descriptions as a new user would write them; a run of CI takes the first.
USERS = sorted((Path(__file__).parent / "users").rglob("*.yaml"))[: 1 if COUNT < 20 else None]
#: What is drawn, laid out, proven and compared with ngspice, which costs more than the plan itself: one in CI.
EVERY = int(os.environ.get("WIRING_DESCRIBED_EVERY", "2" if COUNT < 20 else "1"))
SAMPLE = [seed for seed in SEEDS if seed % EVERY == 0]


@dataclass(frozen=True)
class Outcome:
    """What became of a description: the plan, or why there is none."""

    composed: Composed | None
    refused: str

    @property
    def word(self) -> str:
        """Clear, refused, or not met."""
        if self.composed is None:
            return "refused"
        return "clear" if self.composed.report.verdict == "clear" else "not met"


@cache
def outcome(seed: int) -> Outcome:
    path = Path(os.environ.get("TMPDIR", "/tmp")) / f"wiring-described-{os.getpid()}-{seed}.yaml"
    path.write_text(description(seed), encoding="utf-8")
    try:
        return outcome_of(path)
    finally:
        path.unlink()


def outcome_of(path: Path) -> Outcome:
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    try:
        return Outcome(composed(found.description, found.tree, "machine.yaml"), "")
    except Refused as refusal:
        return Outcome(None, str(refusal))


@pytest.mark.parametrize("path", USERS, ids=lambda path: path.stem)
def test_what_a_user_describes_is_clear_and_stands_before_the_second_judge(path: Path) -> None:
    name = f"{path.parent.name}/{path.stem}"
    found = outcome_of(path)
    if name in REFUSED:
        proof, words = REFUSED[name]
        assert proof(yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader))
        assert found.word == "refused"
        assert words in found.refused
        return
    if name in OPEN:
        assert found.composed is not None
        assert {one.rule for one in found.composed.report.open_questions} == OPEN[name]
        return
    assert found.composed is not None, found.refused
    assert found.word == "clear", found.composed.report.roots
    assert judged(yaml.load(found.composed.text, Loader=yaml.BaseLoader)) == []


def _needs_type_b(text: Any) -> bool:
    """Three phases, an inverter, and a device of another type than B (IEC 60204-1:2016, 6.3.3; IEC 62423)."""
    inverter = any(load["kind"] == "inverter" for load in text["loads"].values())
    return text["mains"]["system"] == "three-phase" and inverter and text["mains"]["rcd"]["type"] != "B"


def _is_too_small(text: Any) -> bool:
    """What can be had in any cabinet takes more than its plate, which is 51 x 30 mm smaller than the cabinet: each part
    with 30 mm above and below it to bend wires in, and 40 mm of a duct along its row and up each side (common
    practice)."""
    cabinet = {key: value for key, value in text["cabinet"].items() if key != "bought"} | {"protection": "IP54"}
    with NamedTemporaryFile("w", suffix=".yaml", encoding="utf-8") as file:
        yaml.safe_dump({**text, "cabinet": cabinet}, file, allow_unicode=True)
        file.flush()
        found = outcome_of(Path(file.name)).composed
    layout = Study(found.design.circuit).layout if found else None
    width, height = (float(word) for word in cabinet["size"].split()[0:3:2])
    parts = [one.outline for one in layout.plate.values()] if layout else []
    return sum(one.width * (one.height + 100) for one in parts) > (width - 51 - 2 * 40) * (height - 30)


def _lets_drips_in(text: Any) -> bool:
    """The second numeral is below the 2 of IP22 (IEC 60204-1:2016, 11.3; IEC 60529)."""
    return int(text["cabinet"]["protection"][3]) < 2


def _is_too_weak(text: Any) -> bool:
    """(F + m g) p / (2 pi eta) with the half of a trapezoidal screw is more than the rated torque of a servo motor; m g
    where it is lifted."""
    for axis in (one for one in text["axes"].values() if "screw" in one and one["motor"].startswith("servo")):
        newtons, lead = (float(axis[key].split()[0]) for key in ("force", "screw"))
        newtons += 9.81 * float(axis["mass"].split()[0]) if "vertical" in axis else 0.0
        if newtons * lead / 1000 / (2 * pi * 0.5) > si(library()[axis["motor"]]["rated_torque"]):
            return True
    return False


def _takes_all_of_its_source(text: Any) -> bool:
    """P / U against four fifths of its rated current: a fifth of a supply is kept free (common practice)."""
    load = text["loads"]["rectifier"]
    volts, _, watts = re.findall(r"[\d.]+|DC", load["rated"])
    return float(watts) / float(volts) > 0.8 * si(load["part"]["rated"])


def _is_beyond_its_insulation(text: Any) -> bool:
    """Single-core wires for cabinets are rated 450/750 V (IEC 60227-3), terminals of the trade 500 to 1000 V."""
    return "kV" in text["loads"]["tube"]["rated"]


def _loses_too_much(text: Any) -> bool:
    """A protective switch turns 1.5 W a pole into heat at its setting, or more (common practice): of the 24 V of a
    small motor that is more than the 5 % that may be lost, and NFPA 70, 430.32 asks for one."""
    motor = text["loads"]["flour"]["motor"]
    amps, volts = si(motor["rated_current"]), si(motor["voltage"])
    return text["rulebook"] == "na" and 1.5 / amps > 0.05 * volts


def _stands_too_little(text: Any) -> bool:
    """A drive that is bought and gives no rating, which stands 5 kA then (UL 508A, table SB4.1, up to 50 hp)."""
    [drive] = [one for one in text["bought"].values() if one["kind"] == "inverter"]
    return "short_circuit_rating" not in drive and si(text["mains"]["fault_current"]) > 5e3


def _is_open_and_dust_tight(text: Any) -> bool:
    """Openings for air, and a first numeral of 6: no dust gets in (IEC 60529, table 2)."""
    return text["cabinet"]["ventilated"] == "true" and text["cabinet"]["protection"].startswith("IP6")


def _has_no_step_outputs(text: Any) -> bool:
    """Three lines of 5 V for each of four drives, and a controller that has none at that voltage."""
    outputs = text["bought"][text["controller"]]["outputs"].values()
    signals = {one["signals"] for one in library().values() if one["kind"] == "stepper-drive"}
    return signals == {"5 V DC"} and sum("5 V" in how for how in outputs) < 3 * len(text["axes"])


#: Users' descriptions that ask for what the building does not bear, with the arithmetic that proves it.
REFUSED: dict[str, tuple[Callable[[Any], bool], str]] = {
    "second/rope-winder": (_needs_type_b, "residual current device of the building"),
    "fourth/book-cradle": (_is_too_small, "do not go into the cabinet that is there"),
    "fourth/groove-lathe": (_lets_drips_in, "below IP22"),
    "fourth/sauce-doser": (_is_too_weak, "the motor gives 1.27 N·m"),
    "fifth/yarn-winder": (_has_no_step_outputs, "12 step, direction and enable outputs"),
    "sixth/rivet-press": (_is_too_weak, "the motor gives 2.39 N·m"),
    "sixth/plating-tank": (_takes_all_of_its_source, "the source is rated 20 A"),
    "sixth/laser-cutter": (_is_beyond_its_insulation, "are rated 500 V"),
    "sixth/dumpling-press": (_loses_too_much, "5 % allowed"),
    "seventh/greenhouse-vents": (_is_open_and_dust_tight, "has openings for air"),
    "seventh/parcel-conveyor": (_stands_too_little, "T1 is sure to stand no more than 5"),
    "seventh/shirt-printer": (_is_too_weak, "the motor gives 1.27 N·m"),
    "seventh/string-winder": (_is_too_small, "do not go into the cabinet that is there"),
    "seventh/weld-positioner": (_needs_type_b, "residual current device of the building"),
    "eighth/nutrient-doser": (_is_too_small, "do not go into the cabinet that is there"),
}
#: What none but the electrician of the building can say: its fault current, and how its feed is laid.
_OF_THE_FAULT = {"breaking-capacity-too-small", "conductor-burns-before-device-opens"}
#: Users' descriptions of which checks are left open, with their rules.
OPEN = {
    "fifth/dome-rotator": {"touch-voltage-too-high"},  # it does not say the electrode of its TT net
    "seventh/bread-slicer": _OF_THE_FAULT,
    "seventh/dovetail-jig": {*_OF_THE_FAULT, "earth-fault-not-cleared", "panel-rating-too-small"},
    "seventh/cider-pasteuriser": {"building-feed-too-small"},
    "seventh/sap-evaporator": {"building-feed-too-small"},
    "seventh/scissor-cart": {"supply-overloaded"},
    "eighth/camera-rig": {"stop-fault-dangerous", "supply-overloaded"},  # in numbers, and the derating of its charger
}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_clear_plan_stands_before_the_second_judge(seed: int) -> None:
    found = outcome(seed)
    if found.word != "clear":
        return
    assert found.composed is not None
    plan = yaml.load(found.composed.text, Loader=yaml.BaseLoader)
    assert judged(plan) == []
    assert plan["accepted"] == []
    assert found.composed.text.startswith("# A draft")


@pytest.mark.parametrize("seed", SEEDS)
def test_a_refusal_names_a_requirement_and_a_cap_that_is_below_it(seed: int) -> None:
    """The numbers on both sides of the refusal are compared here: what is asked is more than what caps it."""
    found = outcome(seed)
    if found.word != "refused":
        return
    numbers = re.search(r"(?:takes|should be|needs)\D{0,60}?([\d.]+) ?(?:A|mm2|N·m|m3/h|V)\b", found.refused)
    assert numbers is not None, found.refused
    caps = [
        float(text)
        for text in re.findall(
            r"(?:at most|rated|gives|last step is [\w-]*?-|of) ?([\d.]+) ?(?:A|a|mm2|N·m|W)", found.refused
        )
    ]
    assert "the library has none" in found.refused or any(cap < float(numbers[1]) for cap in caps), found.refused


@pytest.mark.parametrize("seed", SEEDS)
def test_a_spindle_that_is_refused_takes_more_than_the_building_gives(seed: int) -> None:
    """Power at the shaft over both efficiencies, voltage and power factor: P / (eta eta U pf), one phase."""
    found = outcome(seed)
    if "at the rated power of" not in found.refused:
        return
    text, parts = machine(seed), library()
    motor = parts[text["loads"]["spindle"]["motor"]]
    inverters = [one for one in parts.values() if one["kind"] == "inverter" and one["phases"] == "1"]
    one = next(one for one in inverters if si(one["rated"]) >= si(motor["rated_power"]))
    volts = 230.0 if text["mains"]["voltage"] == "400 V" else si(text["mains"]["voltage"])
    through = si(motor["efficiency"]) * si(one["efficiency"]) * volts * float(one["power_factor"])
    assert si(motor["rated_power"]) / through > si(text["mains"]["upstream"]["rating"]), found.refused


def test_most_of_a_sample_is_clear_and_few_are_not_met() -> None:
    words = [outcome(seed).word for seed in SEEDS]
    if COUNT < 100:  # no sample: WIRING_DESCRIBED=200 draws one
        assert words.count("clear") > 0
        return
    shown = [
        f"{seed}: {found.composed.report.roots}"
        for seed in SEEDS
        if (found := outcome(seed)).word == "not met" and found.composed
    ]
    assert words.count("clear") >= 0.85 * COUNT, (words.count("refused"), shown)
    assert words.count("refused") <= 0.12 * COUNT, [outcome(seed).refused for seed in SEEDS if outcome(seed).refused]
    assert words.count("not met") <= 0.03 * COUNT, shown


@pytest.mark.ngspice
@pytest.mark.parametrize("seed", SAMPLE)
def test_operating_points_within_a_percent_of_ngspice(seed: int, tmp_path: Path) -> None:
    """Every node above a volt, direct and alternating, in the state that does most, and in every one in a whole sample;
    ngspice solves the same network by other means."""
    need_ngspice()
    found = outcome(seed)
    if found.composed is None:
        return
    for state in machine(seed)["runs"] if COUNT < 20 else found.composed.design.states:
        point = found.composed.design.states[state]
        for kind in ("DC", "AC"):
            layer = point.layer(kind)
            theirs = spice_volts(layer.assembled.network, layer.solution, kind, tmp_path, reached=True)
            compared = {n: complex(v) for n, v in enumerate(layer.solution.volts) if v is not None}
            assert len(compared) > layer.assembled.network.nodes / 2
            wrong = [n for n, volts in compared.items() if abs(theirs[n] - volts) > max(0.01 * abs(volts), 1e-3)]
            assert not wrong, (seed, state, kind, wrong)


@pytest.mark.parametrize("seed", SAMPLE)
def test_a_clear_plan_is_drawn_laid_out_proven_and_powered_up(seed: int) -> None:
    """Drawn without a fault of lint or reading back; every part has its place in a cabinet, apart by shapely; no fault
    of its stops is dangerous, in numbers; every stage of the first power-up is printed."""
    found = outcome(seed)
    if found.word != "clear":
        return
    assert found.composed is not None
    design, paper = found.composed.design, PAPERS["A3"]
    assert faults_of(draw(design, found.composed.report, paper), design, paper) == []
    layout = Study(design.circuit).layout
    assert isinstance(layout, Layout), found.composed.text[:200]
    assert not layout.unplaced
    solids = [box(one.x, one.y, one.area.right, one.area.top) for one in layout.plate.values()]
    assert max((one.intersection(two).area for one, two in combinations(solids, 2)), default=0.0) < 1.0
    proof = full_proof(design.stopping)
    assert proof.faults
    assert [fault for result in proof.results.values() for fault in result.dangerous] == []
    to = build(design)
    words = render_power_up(to.sheet(), to.survey, width=80, colour=False)
    assert max(map(len, words.splitlines())) <= 80
    assert all(f"{supply}" in words for supply, part in design.parts.items() if part.kind == "supply")


@pytest.mark.parametrize("seed", SEEDS)
def test_the_building_bears_every_state_by_plain_arithmetic(seed: int) -> None:
    """The real power of a state over the voltage of the mains is a lower bound of what it takes."""
    found = outcome(seed)
    if found.word != "clear":
        return
    assert found.composed is not None
    plan = yaml.load(found.composed.text, Loader=yaml.BaseLoader)
    text = machine(seed)["mains"]
    lines = {"single-phase": 1.0, "split-phase": 1.0, "three-phase": 3**0.5}[text["system"]]
    for state in plan["states"]:
        amps = state_va(plan, state) / (float(text["voltage"].split()[0]) * lines)
        assert amps <= float(text["upstream"]["rating"].split()[0])
