"""Plans of any size for benchmarks: a row of alike stations behind one main switch, ten parts and 23 wires each."""

from __future__ import annotations

from pathlib import Path

PARTS_PER_STATION = 10
STATIONS_PER_BAR = 200
_HEAD = """format: 1
machine: Benchmark of {count} parts
rulebook: iec
library: [parts/]
site: {{ambient: 30 °C}}
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 6 kA,
        upstream: {{kind: fuse, rating: 200 A, class: gG}}}}
states:
  ready: {{M1: hold}}
  work: {{{running}}}
"""
_LIBRARY = """bench-breaker:
  title: breaker
  standing: typical
  source: own choice for the benchmark
  kind: breaker
  poles: 2
  rating: 6 A
  curve: C
  breaking: 10 kA
  rated_voltage: 230 V AC

bench-supply:
  title: supply
  standing: typical
  source: own choice for the benchmark
  kind: supply
  input: 230 V AC
  output: 36 V DC
  rated: 10 A
  efficiency: 90 %
  inrush: 15 A
  overload: {mode: constant-current, limit: 150 %}
  derating: {from: 60 °C, slope: 2.5 %/K}
  output_capacitance: 3300 µF

bench-drive-fuse:
  title: drive fuse
  standing: typical
  source: own choice for the benchmark
  kind: fuse
  rating: 3.15 A
  class: T
  rated_voltage: 60 V DC
  breaking: 1.5 kA

bench-control-fuse:
  title: control fuse
  standing: typical
  source: own choice for the benchmark
  kind: fuse
  rating: 1 A
  class: F
  rated_voltage: 60 V DC
  breaking: 1.5 kA

bench-drive:
  title: drive
  standing: typical
  source: own choice for the benchmark
  kind: stepper-drive
  supply: 24..48 V DC
  phase_current: 2.8 A peak
  bus_capacitance: 470 µF

bench-motor:
  title: motor
  standing: typical
  source: own choice for the benchmark
  kind: stepper-motor
  phase_current: 2.8 A peak
  phase_resistance: 1.1 ohm
  holding_torque: 1.2 N·m
  rotor_inertia: 0.3 kg·cm2
  load_inertia: 0.3 kg·cm2
  work: {speed: 300 rpm, torque: 0.4 N·m}

bench-relay:
  title: relay
  standing: typical
  source: own choice for the benchmark
  kind: relay
  coil: 36 V DC 1 W
  suppressor: diode
  contacts: {13-14: NO}
  rated: 6 A

bench-lamp:
  title: lamp
  standing: typical
  source: own choice for the benchmark
  kind: lamp
  rated: 36 V DC 20 mA

bench-plus:
  title: plus
  standing: typical
  source: own choice for the benchmark
  kind: terminals
  points: 3
  bridged: [1-3]

bench-minus:
  title: minus
  standing: typical
  source: own choice for the benchmark
  kind: terminals
  points: 5
  bridged: [1-5]
"""
_PARTS = """  F{n}: {{use: bench-breaker}}
  G{n}: {{use: bench-supply}}
  FA{n}: {{use: bench-drive-fuse}}
  FB{n}: {{use: bench-control-fuse}}
  D{n}: {{use: bench-drive}}
  M{n}: {{use: bench-motor}}
  K{n}: {{use: bench-relay}}
  H{n}: {{use: bench-lamp}}
  XP{n}: {{use: bench-plus}}
  XM{n}: {{use: bench-minus}}
"""
_WIRES = """{n}01,XL:{n},F{n}:1,line
{n}02,XN:{n},F{n}:3,neutral
{n}03,F{n}:2,G{n}:L,line
{n}04,F{n}:4,G{n}:N,neutral
{n}05,G{n}:V+,FA{n}:1,power
{n}06,FA{n}:2,D{n}:V+,power
{n}07,G{n}:V-,XM{n}:1,power
{n}08,XM{n}:2,D{n}:V-,power
{n}09,FB{n}:2,XP{n}:1,power
{n}10,XP{n}:2,K{n}:A1,power
{n}11,K{n}:A2,XM{n}:3,power
{n}12,XP{n}:3,K{n}:13,power
{n}13,K{n}:14,H{n}:X1,power
{n}14,H{n}:X2,XM{n}:4,power
{n}15,XPE{bar}:{e1},G{n}:PE,earth
{n}16,XPE{bar}:{e2},D{n}:PE,earth
{n}17,XPE{bar}:{e3},M{n}:PE,earth
{n}18,XPE{bar}:{e4},XM{n}:5,earth
{n}21,D{n}:A+,M{n}:A+,power
{n}22,D{n}:A-,M{n}:A-,power
{n}23,D{n}:B+,M{n}:B+,power
{n}24,D{n}:B-,M{n}:B-,power
{n}25,FA{n}:1,FB{n}:1,power
"""
_TRUNK = """wire,from,to,type
T1,X0:L,Q1:1,trunk
T2,X0:N,Q1:3,trunk-neutral
T3,Q1:2,XL:1,trunk
T4,Q1:4,XN:1,trunk-neutral
T5,X0:PE,XPE0:992,trunk-earth
"""
_TYPES = """wire_types:
  line:    {size: 2.5 mm2, colour: BK, insulation: pvc-70, rated: 500 V, length: 0.4 m}
  neutral: {size: 2.5 mm2, colour: BU, insulation: pvc-70, rated: 500 V, length: 0.4 m}
  earth:   {size: 2.5 mm2, colour: GNYE, insulation: pvc-70, rated: 500 V, length: 0.5 m}
  power:   {size: 1.5 mm2, colour: DBU, insulation: pvc-70, rated: 500 V, length: 0.6 m}
  trunk:   {size: 120 mm2, colour: BK, insulation: pvc-70, rated: 500 V, length: 0.1 m}
  trunk-neutral: {size: 120 mm2, colour: BU, insulation: pvc-70, rated: 500 V, length: 0.1 m}
  trunk-earth: {size: 120 mm2, colour: GNYE, insulation: pvc-70, rated: 500 V, length: 0.1 m}
wires: wires.csv
"""


def plan(parts: int) -> tuple[str, str]:
    """A plan of about so many parts, and the wire list `wires.csv` that it names."""
    stations = max(1, (parts - 5) // PARTS_PER_STATION)
    numbers = range(1, stations + 1)
    bars = (stations - 1) // STATIONS_PER_BAR + 1
    running = ", ".join(f"M{n}: run" for n in numbers)
    head = _HEAD.format(count=stations * PARTS_PER_STATION + 5, running=running)
    common = (
        "parts:\n  X0: {kind: inlet}\n  Q1: {kind: disconnector, poles: 2, rated: 200 A}\n"
        f"  XL: {{kind: terminals, points: {stations + 1}, bridged: [1-{stations + 1}]}}\n"
        f"  XN: {{kind: terminals, points: {stations + 1}, bridged: [1-{stations + 1}]}}\n"
        + "".join(f"  XPE{bar}: {{kind: earth-bar, points: 999}}\n" for bar in range(bars))
    )
    body = "".join(_PARTS.format(n=n) for n in numbers)
    links = "".join(f"T{bar + 6},XPE{bar}:990,XPE{bar + 1}:991,trunk-earth\n" for bar in range(bars - 1))
    return head + common + body + _TYPES, _TRUNK + links + "".join(_WIRES.format(n=n, **_earths(n)) for n in numbers)


def _earths(station: int) -> dict[str, int]:
    """The earth bar of a station and the four terminals that it uses there."""
    bar, place = divmod(station - 1, STATIONS_PER_BAR)
    return {"bar": bar, **{f"e{k}": 4 * place + k for k in range(1, 5)}}


def write(folder: Path, parts: int) -> Path:
    """The plan, its wire list and its library as files; the path of the plan."""
    text, wires = plan(parts)
    (folder / "wires.csv").write_text(wires, encoding="utf-8")
    (folder / "parts").mkdir(exist_ok=True)
    (folder / "parts" / "bench.yaml").write_text(_LIBRARY, encoding="utf-8")
    path = folder / "plan.yaml"
    path.write_text(text, encoding="utf-8")
    return path
