"""What a part rated in VA or A takes at alternating voltage: |I| = S / U, whatever its power factor.

Source: IEC 60050-131, 131-11-41, apparent power is the product of the effective values (from memory); the coil against
ngspice as R in series with L, S² = P² + Q². A rating in W is true power, and its |I| = P / (U cos phi).
"""

from __future__ import annotations

import re
import subprocess
from math import pi, sqrt
from pathlib import Path

import pytest
from helpers import design
from spice import need_ngspice

from wiring.parts.switching import Contactor
from wiring.plan.ratings import CoilRating
from wiring.solver.passive import coil_ohm

#: Every kind that takes a voltage with what is taken at it, and its two terminals; `{}` stands for the rating.
TAKERS = {
    "contactor": ("{kind: contactor, poles: 1, coil: %s}", "A1", "A2"),
    "relay": ("{kind: relay, coil: %s, contacts: {13-14: NO}}", "A1", "A2"),
    "valve": ("{kind: valve, rated: %s}", "1", "2"),
    "brake": ("{kind: brake, rated: %s}", "A1", "A2"),
    "fan": ("{kind: fan, rated: %s}", "L", "N"),
    "pump": ("{kind: pump, rated: %s}", "L", "N"),
    "lamp": ("{kind: lamp, rated: %s}", "X1", "X2"),
    "heater": ("{kind: heater, rated: %s}", "1", "2"),
    "load": ("{kind: load, rated: %s, power_factor: 0.5}", "1", "2"),
    "load of constant current": ("{kind: load, rated: %s, behaviour: current, power_factor: 0.5}", "1", "2"),
    "load that is ohmic": ("{kind: load, rated: %s, behaviour: resistance}", "1", "2"),
    "device": (
        "{kind: device, points: {a: load, b: load}, loads: [{between: [a, b], rated: %s, power_factor: 0.5}]}",
        "a",
        "b",
    ),
    "temperature controller": ("{kind: temperature-controller, supply: %s, outputs: {P+-P-: pulse 12 V}}", "L", "N"),
}
#: cos phi of what is given in W: own choice of the parts where the plan gives none, read in their modules.
_LAGGING = {"contactor": 0.3, "relay": 0.3, "valve": 0.3, "brake": 0.3, "fan": 0.6, "pump": 0.7, "load": 0.5}
_LAGGING |= {"load of constant current": 1.0, "device": 0.5, "temperature controller": 0.6}


def bench() -> str:
    """One of each kind, in VA and in A, on stiff mains by 10 mm of copper."""
    parts, wires, number = [], [], 0
    for n, (_, (text, a, b)) in enumerate(TAKERS.items()):
        for letter, rating in (("V", "230 V AC 46 VA"), ("I", "230 V AC 200 mA"), ("W", "230 V AC 46 W")):
            name = f"{letter}{n}"
            parts.append(f"  {name}: {text % rating}")
            for pole, end in (("L", a), ("N", b)):
                number += 1
                wires.append(
                    f'  - {{wire: {number}, from: "X0:{pole}", to: "{name}:{end}", size: 6 mm2, length: 10 mm}}'
                )
    return (
        "mains: {inlet: X0, system: single-phase, voltage: 230 V, fault_current: 50 kA}\nparts:\n  X0: {kind: inlet}\n"
        + "\n".join(parts)
        + "\nwires:\n"
        + "\n".join(wires)
        + "\n"
    )


def test_apparent_power_over_voltage_is_the_current_of_every_kind() -> None:
    """46 VA or 0.2 A at 230 V are 0.2 A; 46 W are 0.2 A / cos phi. The mains bend by less than 1 % at this load."""
    taken = next(iter(design(bench()).states.values())).layer("AC").path_a
    number = 0
    for kind in TAKERS:
        for rating in ("VA", "A", "W"):
            number += 1
            amps = abs(taken[str(2 * number - 1)])
            asked = 0.2 / (_LAGGING.get(kind, 1.0) if rating == "W" else 1.0)
            assert amps == pytest.approx(asked, rel=0.01), (kind, rating)


def test_a_coil_in_volt_amperes_is_the_series_circuit_that_ngspice_solves(tmp_path: Path) -> None:
    """12 VA at 120 V, 60 Hz, cos phi 0.3: Z = U²/S = 1200 ohm, R = 360 ohm, L = 1200 sqrt(1 - 0.09) / (2 pi 60)."""
    need_ngspice()
    ohm, factor = 120.0**2 / 12.0, 0.3
    henry = ohm * sqrt(1.0 - factor**2) / (2.0 * pi * 60.0)
    netlist = tmp_path / "coil.cir"
    netlist.write_text(
        f"coil\nV1 a 0 AC 120\nR1 a b {ohm * factor!r}\nL1 b 0 {henry!r}\n.control\nac lin 1 60 60\n"
        "print real(i(V1)) imag(i(V1))\nquit\n.endc\n.end\n",
        encoding="ascii",
    )
    run = subprocess.run(["ngspice", "-b", str(netlist)], capture_output=True, text=True, timeout=60, check=False)
    real, imag = (float(re.search(rf"{side}\(i\(v1\)\) = (\S+)", run.stdout)[1]) for side in ("real", "imag"))  # type: ignore[index]
    coil = Contactor(coil=CoilRating.read("120 V AC 12 VA")).elements()[0]
    assert 120.0 / complex(coil_ohm(coil)) == pytest.approx(complex(-real, -imag), rel=1e-6)  # type: ignore[arg-type]
    assert abs(complex(real, imag)) == pytest.approx(0.1, rel=1e-6)
