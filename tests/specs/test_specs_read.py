"""The large example plans are read whole, and their wiring is complete and earthed as IEC 60204-1 asks.

Limits come from IEC 60204-1:2016: every exposed metal part on the protective circuit (8.2.1), one protective conductor
a terminal (8.2.4), size of the protective conductor (table 1: not below the line conductor up to 16 mm2),
green-and-yellow for nothing else (13.2.2), smallest conductors (table 5), largest protective devices (table 6 with
annex D). Tables 1, 6 and D.1 were read in two secondary sources each, D.2 in one; table 5 is mostly from memory.
"""

from __future__ import annotations

from pathlib import Path

import networkx
import pytest

from wiring.circuit.model import Conductor, Node
from wiring.design.design import Design
from wiring.design.load import load, load_text
from wiring.parts.elements import Function, Link

SPECS = Path(__file__).parents[2] / "specs"
GANTRY = SPECS / "foam-gantry.yaml"
ENGRAVER = SPECS / "stone-engraver.yaml"
PLANS = pytest.mark.parametrize("path", [GANTRY, ENGRAVER], ids=lambda path: path.stem)


def read_design(path: Path) -> Design:
    result = load(path)
    assert result.design is not None, "\n".join(f"{fault.place}: {fault.summary}" for fault in result.faults)
    return result.design


def without_line(path: Path, start: str) -> Design:
    """The design of a plan that lacks the one line that holds `start`."""
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in lines if start not in line]
    assert len(kept) == len(lines) - 1
    result = load_text("".join(kept), path.name)
    assert result.design is not None
    return result.design


def carrying(design: Design) -> list[Conductor]:
    """Wires and cores, without shields."""
    return [conductor for conductor in design.circuit.conductors if conductor.kind != "shield"]


def function_at(design: Design, node: Node) -> Function:
    return design.parts[node[0]].terminals[node[1]].function


def earth_terminals(design: Design) -> dict[str, Node]:
    """The terminal of each part with touchable metal that must reach the protective earth."""
    found = {name: part.data.earth_terminal() for name, part in design.parts.items()}
    return {name: (name, design.parts[name].data.terminals.get(point, point)) for name, point in found.items() if point}


def earth_network(design: Design) -> networkx.Graph:
    """Conductors that have a protective earth terminal at both ends, and links inside bars and metalwork."""
    network = networkx.Graph()
    network.add_nodes_from(design.circuit.nodes)
    for conductor in carrying(design):
        if all(function_at(design, end) is Function.PE for end in conductor.ends):
            network.add_edge(*conductor.ends)
    for path in design.circuit.inner:
        if isinstance(path.element, Link) and all(function_at(design, end) is Function.PE for end in (path.a, path.b)):
            network.add_edge(path.a, path.b)
    return network


def unearthed(design: Design) -> list[str]:
    network = earth_network(design)
    reached = networkx.node_connected_component(network, ("X0", "PE"))
    return sorted(name for name, node in earth_terminals(design).items() if node not in reached)


@pytest.mark.parametrize(
    ("path", "parts", "conductors"), [(GANTRY, (65, 75), (185, 215)), (ENGRAVER, (55, 75), (215, 250))]
)
def test_the_plan_is_read_without_a_fault_and_has_the_size_of_a_real_cabinet(path, parts, conductors):
    design = read_design(path)
    assert parts[0] <= len(design.parts) <= parts[1]
    assert conductors[0] <= len(carrying(design)) <= conductors[1]


@PLANS
def test_every_part_has_a_conductor(path):
    design = read_design(path)
    wired = {end[0] for conductor in carrying(design) for end in conductor.ends}
    assert sorted(set(design.parts) - wired) == []


@PLANS
def test_every_terminal_that_a_part_cannot_do_without_is_wired(path):
    design = read_design(path)
    required = [(name, t.name) for name, part in design.parts.items() for t in part.terminals.values() if t.required]
    assert [node for node in required if not design.circuit.conductors_at(node)] == []


@PLANS
def test_every_input_and_output_is_used(path):
    design = read_design(path)
    signals = [
        (name, t.name)
        for name, part in design.parts.items()
        for t in part.terminals.values()
        if t.function in (Function.INPUT, Function.OUTPUT, Function.COMMON, Function.CONTACT, Function.POLE)
    ]
    unused = {node[0] for node in signals if not design.circuit.conductors_at(node)}
    assert unused == set()


@PLANS
def test_every_metal_part_reaches_the_incoming_protective_earth(path):
    design = read_design(path)
    assert len(earth_terminals(design)) >= 15
    assert unearthed(design) == []


@pytest.mark.parametrize(
    ("path", "line", "left"),
    [(GANTRY, "wire: PE8,", ["BOW"]), (ENGRAVER, "wire: PE7,", ["TRAY"]), (ENGRAVER, "wire: PE11,", ["T1"])],
)
def test_a_missing_protective_conductor_leaves_its_part_unearthed(path, line, left):
    assert unearthed(without_line(path, line)) == left


@PLANS
def test_earth_bars_hold_one_conductor_a_point(path):
    design = read_design(path)
    bars = [part for part in design.parts.values() if part.kind == "earth-bar"]
    crowded = [
        (bar.name, point)
        for bar in bars
        for point in bar.terminals
        if len(design.circuit.conductors_at((bar.name, point))) > 1
    ]
    assert bars
    assert crowded == []


@PLANS
def test_no_terminal_holds_more_conductors_than_its_part_allows(path):
    design = read_design(path)
    crowded = [
        node
        for node in design.circuit.nodes
        if node[0] in design.parts
        and (terminal := design.parts[node[0]].terminals.get(node[1])) is not None
        and len(design.circuit.conductors_at(node)) > (terminal.wires_max or 1)
    ]
    assert crowded == []


@PLANS
def test_protective_conductors_are_green_and_yellow_and_nothing_else_is(path):
    design = read_design(path)
    ends_in_earth = {c.id for c in carrying(design) if any(function_at(design, end) is Function.PE for end in c.ends)}
    green_and_yellow = {conductor.id for conductor in carrying(design) if conductor.colour == "GNYE"}
    assert ends_in_earth == green_and_yellow


@PLANS
def test_protective_conductors_are_not_thinner_than_the_lines_of_their_part(path):
    design = read_design(path)
    thin = []
    for name, node in earth_terminals(design).items():
        lines = [
            conductor.size.area_mm2
            for terminal in design.parts[name].terminals.values()
            if terminal.function in (Function.LINE, Function.SUPPLY, Function.MOTOR, Function.THROUGH, Function.DC_PLUS)
            for conductor in design.circuit.conductors_at((name, terminal.name))
        ]
        earths = [c.size.area_mm2 for c in design.circuit.conductors_at(node) if c.kind != "shield"]
        if lines and max(lines) > max(earths):
            thin.append(name)
    assert thin == []


@PLANS
def test_every_extra_low_voltage_rail_is_earthed_once(path):
    """The return of each rail is joined to the earth bar by one conductor (IEC 60204-1, 9.4.3.1, from memory)."""
    design = read_design(path)
    bonds = [c for c in carrying(design) if sum(function_at(design, end) is Function.PE for end in c.ends) == 1]
    strips = sorted(end[0] for c in bonds for end in c.ends if function_at(design, end) is not Function.PE)
    expected = {"foam-gantry": ["X2", "X3", "X6", "X7"], "stone-engraver": ["X2"]}
    assert strips == expected[path.stem]


#: Largest device in front of a copper conductor in PVC 70 °C: IEC 60204-1 table 6 method B2 (8.5, 10.1, 13.1, 17.4, 23
#: and 30 A) times 0.57 for six circuits in a duct (table D.2) times 0.91 for 45 °C (table D.1), by hand, rounded down.
LARGEST_DEVICE_A = {0.75: 4.4, 1.0: 5.2, 1.5: 6.7, 2.5: 9.0, 4.0: 11.9, 6.0: 15.5}


@PLANS
def test_breakers_and_fuses_are_not_larger_than_the_conductor_on_their_load_side_carries(path):
    design = read_design(path)
    weak = []
    for name, part in design.parts.items():
        rating = getattr(part.data, "rating", None)
        if rating is None:
            continue
        for pole in ("2", "4", "6"):
            for conductor in design.circuit.conductors_at((name, pole)):
                if rating > LARGEST_DEVICE_A[conductor.size.area_mm2]:
                    weak.append((name, conductor.id))
    assert weak == []


@PLANS
def test_conductors_are_not_thinner_than_table_5_of_iec_60204_1(path):
    """0.75 mm2 for power, 0.2 mm2 for control in the cabinet, 0.5 mm2 for control in two-core cables."""
    design = read_design(path)
    power = (Function.LINE, Function.NEUTRAL, Function.MOTOR, Function.DC_PLUS, Function.DC_MINUS, Function.LOAD)
    thin = []
    for conductor in carrying(design):
        at_power = any(function_at(design, end) in power for end in conductor.ends)
        least = 0.75 if at_power else 0.5 if conductor.cable else 0.2
        if conductor.size.area_mm2 < least:
            thin.append(conductor.id)
    assert thin == []


@PLANS
def test_every_conductor_has_size_colour_insulation_length_and_title(path):
    design = read_design(path)
    for conductor in carrying(design):
        assert conductor.size is not None, conductor.id
        assert conductor.insulation is not None, conductor.id
        assert conductor.rated_v is not None, conductor.id
        assert conductor.length_m, conductor.id
        assert conductor.title, conductor.id
        assert conductor.colour is not None or conductor.cable, conductor.id


@PLANS
def test_every_stop_device_removes_every_hazard(path):
    design = read_design(path)
    hazards = sorted(name for name, part in design.parts.items() if part.data.is_hazard())
    devices = [device for stop in design.plan.stops.values() for device in stop.devices]
    assert len(devices) == 3
    assert [effect.device for effect in design.stops] == devices
    for effect in design.stops:
        assert effect.left == ()
        assert sorted(effect.removed) == hazards
