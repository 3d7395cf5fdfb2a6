"""Every numeric line of the coil winder and the gantry, position by position, against ngspice."""

import re
import subprocess

import pytest
from powerup_cases import builder_of, predictor_of
from spice import OPTIONS, need_ngspice, spice_volts

from wiring.powerup.ohms import dead_network
from wiring.powerup.step import Meter, Sort

pytestmark = pytest.mark.ngspice
NAMES = ("coil-winder", "foam-gantry")


def settings_of(name, mains):
    return [(setting, lines) for setting, lines in predictor_of(name).by_setting.items() if setting.mains is mains]


def spice_of_layer(layer, kind, folder):
    """Voltage of every node of the plan by ngspice; dead ends take that of the node they hang on."""
    volts = spice_volts(layer.assembled.network, layer.solution, kind, folder)
    found = {node: volts[at] for node, at in layer.assembled.at.items()}
    for node, via in reversed(layer.assembled.hung):
        found[node] = found.get(via)
    return found


@pytest.mark.parametrize("name", NAMES)
def test_voltages_of_every_position(name, tmp_path):
    need_ngspice()
    compared = 0
    for setting, lines in settings_of(name, True):
        run = builder_of(name).run(setting)
        index = run.point.lowered.index
        spice = {kind: spice_of_layer(run.point.layer(kind), kind, tmp_path) for kind in ("DC", "AC")}
        for line in lines:
            if line.meter not in (Meter.DC_V, Meter.AC_V):
                continue
            kind = "AC" if line.meter is Meter.AC_V else "DC"
            red, black = (spice[kind][index[end]] for end in (line.red, line.black))
            if red is None or black is None:
                assert line.expected.value == 0.0
                continue
            theirs = (red - black).real if kind == "DC" else abs(red - black)
            assert abs(line.expected.value) == pytest.approx(abs(theirs), abs=2e-6), line.id
            compared += 1
    assert compared > 40


@pytest.mark.parametrize("name", NAMES)
def test_currents_of_every_position(name, tmp_path):
    """The current of a conductor or pole is what ngspice finds across its resistance."""
    need_ngspice()
    compared = 0
    for setting, lines in settings_of(name, True):
        run = builder_of(name).run(setting)
        edges = {edge.id: edge for edge in run.point.lowered.edges}
        wanted = [line for line in lines if line.meter in (Meter.DC_A, Meter.AC_A)]
        if not wanted:
            continue
        spice = {kind: spice_of_layer(run.point.layer(kind), kind, tmp_path) for kind in ("DC", "AC")}
        for line in wanted:
            kind = "AC" if line.meter is Meter.AC_A else "DC"
            edge = edges[line.wire]
            theirs = abs(spice[kind][edge.a] - spice[kind][edge.b]) / edge.ohm
            assert line.expected.value == pytest.approx(theirs, abs=1e-5, rel=1e-4), line.id
            compared += 1
    assert compared > 8


def spice_ohms(network, pairs, folder):
    """1 A through every pair in turn; a link of 1 Gohm to ground holds what floats, 1e12 where nothing joins."""
    lines = ["ohmmeter", OPTIONS]
    lines += [f"R{n} n{branch.a} n{branch.b} {branch.ohm!r}" for n, branch in enumerate(network.branches)]
    touched = {end for branch in network.branches for end in (branch.a, branch.b)}
    touched |= {end for pair in pairs for end in pair}
    lines += [f"RG{node} n{node} 0 1e9" for node in sorted(touched)]
    lines += [f"I{k} n{b} n{a} 0" for k, (a, b) in enumerate(pairs)]
    lines += [".control", "set numdgt=15"]
    for k, (a, b) in enumerate(pairs):
        lines += [f"alter I{k} = 1", "op", f"let ohm{k} = v(n{a}) - v(n{b})", f"print ohm{k}", f"alter I{k} = 0"]
    lines += ["quit", ".endc", ".end"]
    path = folder / "ohms.cir"
    path.write_text("\n".join(lines) + "\n", encoding="ascii")
    run = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120, check=False)
    found = {int(k): float(value) for k, value in re.findall(r"^ohm(\d+) = (\S+)$", run.stdout, flags=re.MULTILINE)}
    assert len(found) == len(pairs), run.stdout[-800:] + run.stderr[-800:]
    return [found[k] for k in range(len(pairs))]


@pytest.mark.parametrize("name", NAMES)
def test_resistances_of_every_position(name, tmp_path):
    need_ngspice()
    builder, compared = builder_of(name), 0
    cold = builder.survey.cold
    for setting, lines in settings_of(name, False):
        wanted = [line for line in lines if line.meter.is_resistance]
        network = dead_network(cold, setting, frozenset(), frozenset())
        pairs = [(cold.index[line.red], cold.index[line.black]) for line in wanted]
        for line, theirs in zip(wanted, spice_ohms(network, pairs, tmp_path), strict=True):
            if line.expected.sort is Sort.OPEN:
                assert theirs > 1e6, line.id
            elif line.expected.sort is Sort.VALUE:
                assert line.expected.value == pytest.approx(theirs, rel=1e-5, abs=1e-7), line.id
                compared += 1
    assert compared > 20
