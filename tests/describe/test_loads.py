"""Loads of a described machine: what keeps a heater from burning, and who switches a load."""

from __future__ import annotations

import re
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import networkx as nx
import pytest
import yaml
from second_judge import Plan, joins, judged, parts_of

from wiring.describe.build import Refused
from wiring.describe.draft import Chosen
from wiring.describe.generate import plan_of
from wiring.describe.questions import unsaid
from wiring.describe.reading import read_description
from wiring.describe.settling import composed
from wiring.design.load import load
from wiring.design.stop.hazards import is_live
from wiring.documents.bill import cost_words

SORTER = Path(__file__).parents[2] / "specs" / "machines" / "tray-sorter.yaml"

#: Larger parts cost less than the least ones, and one that does not pass least of all.
PRICES = """prices: {supply-48v-5a: 60 EUR, supply-48v-7.5a: 70 EUR, supply-48v-10a: 40 EUR, supply-24v-2.5a: 9 EUR,
         supply-24v-5a: 8 EUR, stepper-drive-36v-2a: 1 EUR, stepper-drive-50v-4a: 30 EUR, stepper-drive-80v-7a: 20 EUR}
axes:"""
#: A bath, a fan that two buttons work, and a flap on an output of a controller that is there.
WASHER = """  bath: {kind: heater, rated: 230 V AC 600 W, keeps: 60 °C, cut_out: 90 °C, liquid: true}
  fan: {kind: appliance, rated: 230 V AC 100 W, coasts: 2 s, switched: buttons}
  flap: {kind: valve, rated: 24 V DC 3 W, switched: OUT3}
controller: {kind: controller, supply: {between: [24V, 0V], voltage: 24 V DC, current: 250 mA}, common: 0V,
             input_type: 3, input_voltage: 24 V DC, boot: "off", sizes: 0.14..1.5 mm2, wires_per_terminal: 2,
             output_common: GND,
             inputs: {I1: sink, I2: sink, I3: sink, I4: sink, I5: sink, I6: sink, I7: sink, I8: sink, I9: sink},
             outputs: {S1: push-pull 5 V, D1: push-pull 5 V, N1: push-pull 5 V, S2: push-pull 5 V, D2: push-pull 5 V,
                       N2: push-pull 5 V, OUT1: pnp, OUT2: pnp, OUT3: pnp, OUT4: pnp}}
"""


@pytest.fixture(scope="module")
def washer() -> str:
    """The plan of the tray sorter with such loads, clear and right for the second judge."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "machine.yaml"
        lines = SORTER.read_text(encoding="utf-8").splitlines(keepends=True)
        text = "".join(WASHER if "kind: heater" in line else line for line in lines)
        text = text.replace(", bed]", ", bath, fan, flap]").replace("axes:", PRICES)
        path.write_text(text, encoding="utf-8")
        found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    made = composed(found.description, found.tree, "machine.yaml")
    assert made.report.verdict == "clear", made.report.roots
    assert judged(yaml.load(made.text, Loader=yaml.BaseLoader)) == []
    return made.text


def _clear(path: Path) -> Any:
    """The plan of a description, which is clear and stands before the second judge."""
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    made = composed(found.description, found.tree, "machine.yaml")
    assert made.report.verdict == "clear", made.report.roots
    plan = yaml.load(made.text, Loader=yaml.BaseLoader)
    assert judged(plan) == []
    return plan


def test_of_what_passes_the_cheapest_is_taken_and_its_price_is_told(washer: str, tmp_path: Path) -> None:
    """5.6 A peak of each motor are beyond a drive of 2.2 A, whatever it costs."""
    plan = yaml.load(washer, Loader=yaml.BaseLoader)
    used = sorted(data["use"] for data in plan["parts"].values() if "use" in data)
    used = [key for key in used if key.startswith(("supply", "stepper"))]
    assert used == [*["stepper-drive-80v-7a"] * 2, "supply-24v-5a", "supply-48v-10a"]
    out = tmp_path / "plan.yaml"
    out.write_text(washer, encoding="utf-8")
    design = load(out).design
    assert design is not None
    assert cost_words(design).startswith(f"Parts with a price: {2 * 20 + 8 + 40}.00 EUR.")
    assert "supply-48v-10a at 40.00 EUR" in re.sub(r"\s+# |\s+", " ", washer)


def _part(plan: Plan, kind: str, title: str = "") -> str:
    return next(
        name for name, data in parts_of(plan).items() if data["kind"] == kind and title in data.get("title", title)
    )


def test_every_heater_has_a_cut_out_in_its_conductor_and_one_in_a_liquid_is_off_when_it_is_dry(
    washer: str, tmp_path: Path
) -> None:
    """IEC 60204-1:2016, 7.4: abnormal temperature is to be protected against; a control that fails is one cause of it.

    With the level switch at rest, dry, the output of the controller is on and the coil of the heater's contactor dead.
    """
    plan = yaml.load(washer, Loader=yaml.BaseLoader)
    heater, level = _part(plan, "heater"), _part(plan, "float-switch")
    assert all(entries[level] == "worked" for entries in plan["states"].values())
    out = tmp_path / "plan.yaml"
    out.write_text(washer.replace(f", {level}: worked", ""), encoding="utf-8")
    design = load(out).design
    assert design is not None
    assert not is_live(design.parts[heater], design.axes, design.states["sorting"])
    cable = next(one for one in plan["cables"] if one["join"]["1"][1].endswith(":11") and f"{heater}:1" in str(one))
    cable["join"] = {"1": [cable["join"]["1"][0], f"{heater}:1"], "3": cable["join"]["3"]}
    assert (
        judged(plan)
        == [f"{heater} has no cut-out in its conductor", f"{heater}:PE does not reach the protective earth"][::-1]
    )


def _reset_done(plan: Plan, *pressed: str) -> nx.Graph:
    """What conducts at 24 V after a reset: wires, fuses, bridges, the stop relay, and buttons as they are worked."""
    graph = nx.Graph([pair for _, *pair in joins(plan)])
    for name, data in parts_of(plan).items():
        ends = {"fuse": ["1-2"], "safety-relay": ["13-14", "23-24", "33-34"]}.get(data["kind"], [])
        if data["kind"] == "push-button":
            ends = [pair for pair, word in data["contacts"].items() if word.startswith("NO") == (name in pressed)]
        if data["kind"] == "terminals":
            runs = [list(map(int, run.split("-"))) for run in data.get("bridged", [])]
            ends = [f"{n}-{n + 1}" for first, last in runs for n in range(first, last)]
        graph.add_edges_from([f"{name}:{end}" for end in pair.split("-")] for pair in ends)
    return graph


def test_a_load_is_switched_by_whom_the_description_says(washer: str) -> None:
    """Its relay gets 24 V with "on" pressed, and neither after a reset alone nor with "off" pressed: a reset permits to
    start and starts nothing (IEC 60204-1:2016, 9.2.3.4.2, from memory).

    No conductor leads from an output of the controller to its coils; a named output leads to the coil of its own load.
    """
    plan = yaml.load(washer, Loader=yaml.BaseLoader)
    relay, on, off = (
        _part(plan, kind, title)
        for kind, title in (("relay", "fan switched on"), ("push-button", "fan on"), ("push-button", "fan off"))
    )
    supplies = [f"{name}:V+" for name, data in parts_of(plan).items() if data["kind"] == "supply"]
    for pressed, fed in (([], False), ([on], True), ([off], False), ([on, off], False)):
        graph = _reset_done(plan, *pressed)
        assert any(nx.has_path(graph, supply, f"{relay}:A1") for supply in supplies) is fed, pressed
    wired = nx.Graph([pair for _, *pair in joins(plan)])
    for coil in (relay, _part(plan, "contactor", "fan on")):
        assert not [end for end in nx.node_connected_component(wired, f"{coil}:A1") if end.startswith("A1:")]
    assert nx.has_path(wired, "A1:OUT3", f"{_part(plan, 'relay', 'flap')}:A1")
    assert sorted(end for end in wired if end.startswith("A1:OUT")) == ["A1:OUT1", "A1:OUT3"]


@pytest.mark.parametrize(
    ("switched", "told"),
    [("OUT3", "give the `controller`"), ("button", "`buttons`"), ("pedal", "`controller`")],
)
def test_what_switches_nothing_is_told_with_what_does(switched: str, told: str, tmp_path: Path) -> None:
    path = tmp_path / "machine.yaml"
    text = SORTER.read_text(encoding="utf-8").replace("liquid: false", f"liquid: false, switched: {switched}")
    path.write_text(text, encoding="utf-8")
    [fault] = read_description(path).faults
    line, entry = next((n, one) for n, one in enumerate(text.splitlines(), 1) if "switched" in one)
    assert told in str(fault)
    assert str(fault).startswith(f"{path}:{line}:{entry.index(switched) + 1}: ")


LATHE = """describe: Lathe
rulebook: iec
mains: {system: single-phase, voltage: 230 V}
loads:
  head:
    kind: inverter
    motor: spindle-220v-0.8kw
    drive: {kind: inverter, supply: 230 V AC, phases: 1, rated: 1.5 kW, inputs: [DI1-DCOM]}
"""


def test_an_inverter_without_torque_off_hangs_behind_both_contactors(tmp_path: Path) -> None:
    """Nothing else of that machine is behind contactors; taking either away parts the inverter from the mains."""
    path = tmp_path / "machine.yaml"
    path.write_text(LATHE, encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    plan = yaml.load(plan_of(found.description, found.tree, Chosen()), Loader=yaml.BaseLoader)
    graph = nx.Graph([pair for _, *pair in joins(plan)])
    for name, data in parts_of(plan).items():
        poles = int(data.get("poles", 1)) if data["kind"] in ("breaker", "disconnector", "contactor") else 0
        graph.add_edges_from((f"{name}:{2 * n + 1}", f"{name}:{2 * n + 2}") for n in range(poles))
    drive = _part(plan, "inverter")
    assert nx.has_path(graph, "X0:L", f"{drive}:L")
    for name in ("K1", "K2"):
        left = nx.subgraph_view(graph, filter_node=lambda end, name=name: not end.startswith(f"{name}:"))
        assert not nx.has_path(left, "X0:L", f"{drive}:L")


#: Heat above and below what a cut-out carries, on three phases, on both lines of one and on a rail; motors for 24 V.
WARM = """format: 1
describe: Slab warmer
rulebook: {book}
mains: {{system: {system}, frequency: 50 Hz, earthing: TN-S, fault_current: 2 kA, rcd: none,
        upstream: {{kind: breaker, rating: 32 A, curve: C}}, connection: fixed, shared: false}}
loads:
  oven: {{kind: heater, rated: {oven}, keeps: 200 °C, cut_out: 260 °C, liquid: false}}
  bed: {{kind: heater, rated: {bed}, cut_out: 120 °C, liquid: false}}
  fan: {{kind: motor, motor: {fan}}}
  pump: {{kind: motor, motor: {pump}}}
"""
WARMERS = {
    "three-phase": {
        "book": "iec", "system": "three-phase, voltage: 400 V", "oven": "400 V AC 5 kW", "bed": "48 V DC 400 W",
        "fan": "{kind: motor, voltage: 48 V DC, rated_power: 60 W, rated_current: 1.8 A}",
        "pump": "pump-coolant-400v-250w",
    },
    "split-phase": {
        "book": "na", "system": "split-phase, voltage: 240 V", "oven": "240 V AC 4.5 kW", "bed": "24 V DC 120 W",
        "fan": "{kind: motor, voltage: 24 V DC, rated_power: 60 W, rated_current: 3.4 A}",
        "pump": "{kind: pump, rated: 24 V DC 20 W}",
    },
}  # fmt: skip


@pytest.mark.parametrize("system", WARMERS)
def test_direct_voltage_comes_from_a_supply_behind_the_stop_and_much_heat_has_a_contactor_for_its_cut_out(
    system: str, tmp_path: Path
) -> None:
    """Cut-outs of the class carry 16 A (common practice), and 5 kW at 400 V are 12.5 A, but beyond their 250 V.

    The controls hang on another supply than the loads: with K1 or K2 open nothing leads from the mains to the one.
    """
    path = tmp_path / "machine.yaml"
    path.write_text(WARM.format(**WARMERS[system]), encoding="utf-8")
    plan = _clear(path)
    parts = parts_of(plan)
    assert _part(plan, "contactor", "oven heat limit")
    supply = next(name for name, data in parts.items() if data["title"].startswith("process") and "input" in data)
    graph = nx.Graph([pair for _, *pair in joins(plan)])
    for name, data in parts.items():
        poles = int(data.get("poles", 1)) if data["kind"] in ("breaker", "fuse", "disconnector", "contactor") else 0
        graph.add_edges_from((f"{name}:{2 * n + 1}", f"{name}:{2 * n + 2}") for n in range(poles))
    first = "X0:L1"
    fed = [end for end in (f"{supply}:L", f"{supply}:N") if "X0:N" not in nx.node_connected_component(graph, end)]
    assert fed
    for name in ("K1", "K2"):
        left = nx.subgraph_view(graph, filter_node=lambda end, name=name: not end.startswith(f"{name}:"))
        assert not [end for end in fed for start in (first, "X0:L2") if nx.has_path(left, start, end)]
    if system == "three-phase":  # without its contactor the oven would have no cut-out in its conductor
        limit = _part(plan, "contactor", "oven heat limit")
        wire = next(one for one in plan["wires"] if one.get("to") == f"{limit}:A1")
        wire["from"] = "X8:1"
        assert [said for said in judged(plan) if "no cut-out" in said]


@pytest.mark.parametrize(
    ("guard", "parts", "locks"),
    [
        ("{}", ["M1", "M2", "E1"], True),  # how long the axes coast is not said
        ("{guards: [bed]}", ["E1"], False),
        ("{guards: [Y, bed]}", ["M2", "E1"], True),
    ],
)
def test_a_guard_says_what_is_reached_through_it(guard: str, parts: list[str], locks: bool, tmp_path: Path) -> None:
    path = tmp_path / "machine.yaml"
    text = SORTER.read_text(encoding="utf-8").replace("runs:", f"stops: {{guards: {{hood: {guard}}}}}\nruns:")
    path.write_text(text, encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    entries = yaml.load(plan_of(found.description, found.tree, Chosen()), Loader=yaml.BaseLoader)["parts"]
    [hood] = [entry for entry in entries.values() if entry.get("title") == "hood"]
    assert sorted(hood["guards"]) == sorted(parts)
    assert ("locking" in hood) is locks


def test_an_axis_whose_name_ends_in_a_digit_keeps_its_motors(tmp_path: Path) -> None:
    """A name may end in a digit, and the motors of an axis that has several have one behind its name."""
    text = SORTER.read_text(encoding="utf-8").replace("  Y: {like: X,", "  belt2: {like: X, count: 2,")
    text = text.replace(
        "runs: {sorting: [X, Y, bed]}", "stops: {guards: {hood: {guards: [belt2]}}}\nruns: {sorting: [belt2]}"
    )
    path = tmp_path / "machine.yaml"
    path.write_text(text, encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    plan = yaml.load(plan_of(found.description, found.tree, Chosen()), Loader=yaml.BaseLoader)
    [hood] = [entry for entry in plan["parts"].values() if entry.get("title") == "hood"]
    assert sorted(hood["guards"]) == ["M2", "M3"]
    moving = {name for name, mode in plan["states"]["sorting"].items() if name.startswith("M") and mode != "hold"}
    assert moving == {"M2", "M3"}


def test_a_conductor_that_ends_at_its_terminals_caps_the_device_in_front_of_it(tmp_path: Path) -> None:
    """A spindle of 2.2 kW on one of three phases takes 21.4 A at rated power, and its inverter takes 6 mm2 at most.

    6 mm2 of PVC bear 36 A at 40 °C (IEC 60204-1:2016, table 6, B1) and 0.82 of that at 50 °C (table D.1), so that no
    more than 25 A protect them, whatever share is wanted free; warmer than 55 °C they would bear too little.
    """
    head = WARM.format(**WARMERS["three-phase"]).partition("loads:")[0]
    path = tmp_path / "machine.yaml"
    path.write_text(head + "loads: {head: {kind: inverter, motor: spindle-220v-2.2kw, coasts: 3 s}}\n", "utf-8")
    plan = _clear(path)
    assert parts_of(plan)[_part(plan, "breaker", "head")]["rating"] == "25 A"


def test_a_valve_says_with_which_others_it_may_never_be_on(tmp_path: Path) -> None:
    """Two solenoids of one spool burn when both are on (IEC 60204-1:2016, 9.3.4); `test_locks` works their locks."""
    path = tmp_path / "machine.yaml"
    head = WARM.format(**WARMERS["three-phase"]).partition("loads:")[0]
    valve = "{kind: valve, rated: 24 V DC 5 W"

    def described(up: str) -> None:
        text = f"{head}loads:\n  up: {valve}, excludes: {up}}}\n  down: {valve}, excludes: []}}\n"
        path.write_text(text, encoding="utf-8")

    described("[]")
    found = read_description(path)
    assert found.description is not None
    assert found.tree is not None
    plan = yaml.load(plan_of(found.description, found.tree, Chosen()), Loader=yaml.BaseLoader)
    assert [one["excludes"] for one in parts_of(plan).values() if one["kind"] == "valve"] == [[], []]
    described("[up]")
    [fault] = read_description(path).faults
    assert "up is no other valve" in str(fault)


SAP = """describe: Sap pan
rulebook: na
mains: {{system: {system}, frequency: 60 Hz, earthing: {earthing}, fault_current: 2 kA, rcd: none,
        upstream: {{kind: breaker, rating: 20 A}}, connection: fixed, shared: false}}
loads:
  hood: {{kind: appliance, rated: 120 V AC 60 W}}
  sap: {{kind: motor, motor: {{kind: pump, rated: 120 V AC 100 W}}}}
  magnet: {{kind: source, power: 120 W, part: {{kind: process-source, input: 120 V AC, output: 110 V DC, rated: 1.5 A,
           isolated: true}}}}
"""


@pytest.mark.parametrize(
    ("system", "earthing", "lines"),
    [
        ("split-phase, voltage: 240 V", "TN-S", 2),
        ("three-phase, voltage: 208 V", "TN-S", 3),
        ("single-phase, voltage: 240 V", "TN-S", 0),
        ("three-phase, voltage: 240 V", "TN-S", 0),
        ("three-phase, voltage: 480 V", "TN-S", 0),
        ("split-phase, voltage: 240 V", "IT", 0),
    ],
)
def test_what_is_made_for_120_v_hangs_between_one_line_and_a_neutral_that_is_there(
    system: str, earthing: str, lines: int, tmp_path: Path
) -> None:
    """120 V lie between each line and the neutral of 120/240 V and of 208Y/120 V; 240 V of one phase or of a delta, and
    mains that are not earthed, give none (ANSI C84.1, table 1, from memory). The stop parts each from its line."""
    path = tmp_path / "machine.yaml"
    path.write_text(SAP.format(system=system, earthing=earthing), encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    if not lines:
        with pytest.raises(Refused, match="is made for 120 V"):
            plan_of(found.description, found.tree, Chosen())
        return
    plan = yaml.load(plan_of(found.description, found.tree, Chosen()), Loader=yaml.BaseLoader)
    assert "that the feed leads a neutral" in " ".join(unsaid(found.description))
    parts = parts_of(plan)
    graph = _reset_done(plan)
    for name, data in parts.items():
        poles = int(data["poles"]) if isinstance(data.get("poles"), str) else 0
        graph.add_edges_from((f"{name}:{2 * n - 1}", f"{name}:{2 * n}") for n in range(1, poles + 1))
    for fed, (hot, cold) in {
        _part(plan, "pump"): "LN",
        _part(plan, "load"): "12",
        _part(plan, "process-source"): "LN",
    }.items():
        assert nx.has_path(graph, f"{fed}:{cold}", "X0:N")
        assert sum(nx.has_path(graph, f"{fed}:{hot}", f"X0:L{n}") for n in range(1, lines + 1)) == 1
        for opened in ("K1", "K2"):
            left = nx.subgraph_view(graph, filter_node=lambda end, name=opened: not end.startswith(f"{name}:"))
            assert not any(nx.has_path(left, f"{fed}:{hot}", f"X0:L{n}") for n in range(1, lines + 1))


@pytest.mark.parametrize(("feeds", "amps"), [("rated: 36 V DC 150 W", 6.25), ("power: 150 W", 6.25), ("", 0.0)])
def test_a_source_of_the_library_says_the_voltage_of_what_it_feeds(feeds: str, amps: float, tmp_path: Path) -> None:
    """150 W over 36 V are 4.17 A (P = U I), and no more than four fifths of the 8 A of the source."""
    path = tmp_path / "machine.yaml"
    head = WARM.format(**WARMERS["three-phase"]).partition("loads:")[0]
    path.write_text(f"{head}loads:\n  wire: {{kind: source, part: hot-wire-source-36v-8a, {feeds}}}\n", "utf-8")
    found = read_description(path)
    if not amps:
        assert ["load wire does not say what its source feeds" in str(fault) for fault in found.faults] == [True]
        return
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    plan = yaml.load(plan_of(found.description, found.tree, Chosen()), Loader=yaml.BaseLoader)
    assert parts_of(plan)[_part(plan, "heater")]["rated"] == "36 V DC 150 W"


def test_contactors_of_a_battery_bear_what_works_behind_them(tmp_path: Path) -> None:
    """12 A of a wheel motor and no more than 80 % of the rating of a contactor at 24 V DC (common practice)."""
    text = (SORTER.parent / "tray-mover.yaml").read_text(encoding="utf-8")
    motor = "{kind: motor, voltage: 24 V DC, rated_power: 200 W, rated_current: 12 A}"
    path = tmp_path / "machine.yaml"
    path.write_text(text.replace("loads:", f"loads:\n  wheels: {{kind: motor, motor: {motor}}}"), encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    plan = yaml.load(plan_of(found.description, found.tree, Chosen()), Loader=yaml.BaseLoader)
    entries = parts_of(plan)
    for name in ("K1", "K2", _part(plan, "contactor", "wheels on")):
        assert float(entries[name]["dc_rated"].split()[0]) >= 12.0


CONVEYOR = """describe: Belt line
rulebook: na
site: {ambient: 30 °C}
mains: {system: three-phase, voltage: 480 V, frequency: 60 Hz, earthing: TN-S, fault_current: 10 kA, rcd: none,
        upstream: UPSTREAM, connection: fixed, shared: false}
loads:
  belt: {kind: inverter, motor: {kind: motor, voltage: 460 V AC, phases: 3, rated_power: 1.5 kW, rated_current: 3.0 A,
                                 power_factor: 0.8}}
"""


@pytest.mark.parametrize("upstream", ["{kind: fuse, rating: 30 A, class: J}", "{kind: breaker, rating: 30 A}"])
def test_controls_of_480_v_have_a_supply_for_it_and_parts_stand_its_fault_current(
    upstream: str, tmp_path: Path
) -> None:
    """A switch or a drive without a marking stands 5 kA (UL 508A, table SB4.1); 10 kA ask for one. Main switches are
    sold with it, contactors and drives behind fuses that limit the current (common practice), so such fuses stand in
    front of each of them, in the building or here."""
    path = tmp_path / "machine.yaml"
    path.write_text(CONVEYOR.replace("UPSTREAM", upstream), encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    made = composed(found.description, found.tree, "machine.yaml")
    assert made.report.verdict == "clear", made.report.roots
    plan = yaml.load(made.text, Loader=yaml.BaseLoader)
    assert judged(plan) == []
    entries = parts_of(plan)
    low, high = entries[_part(plan, "supply")]["input"].split()[0].split("..")
    assert float(low) <= 480.0 <= float(high)
    for kind in ("disconnector", "inverter"):
        assert entries[_part(plan, kind)]["short_circuit_rating"] == "10 kA"
    ends = [pair for _, *pair in joins(plan)]
    for end in ("T1:L1", "K1:1") if "K1" in entries else ("T1:L1",):
        [device] = {one.split(":")[0] for pair in ends if end in pair for one in pair} - {end.split(":")[0]}
        assert entries[device]["class"] == "CC"
