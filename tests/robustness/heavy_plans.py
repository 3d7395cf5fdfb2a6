"""Plans shaped to hurt: one thing of a machine as often as a file of some size holds it, added to the coil winder.

A slip (a list pasted a hundred times) and a hostile plan look alike here: whatever is checked has so many bytes and no
more. Each shape repeats what the solver, the proof of the stops or a walk over conductors could pay for twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import NamedTuple

WINDER = Path(__file__).parents[2] / "specs" / "coil-winder.yaml"


class Added(NamedTuple):
    """Lines that come to the sections of a plan."""

    parts: Iterable[str] = ()
    wires: Iterable[str] = ()
    states: Iterable[str] = ()
    stops: Iterable[str] = ()
    cables: Iterable[str] = ()
    routes: Iterable[str] = ()


#: The heads after which lines of a section are put.
_HEADS = {
    "parts": "\nparts:\n",
    "wires": "\nwires:\n",
    "states": "\nstates:\n",
    "stops": "\nstops:\n",
    "cables": "\ncables:\n",
    "routes": "\nroutes:\n",
}
LAMP = "rated: 24 V DC 20 mA"
#: Plus and minus of the control supply.
_FEEDS = ("X1:2", "X2:2")


def wire(number: object, start: str, end: str, kind: str = "control") -> str:
    return f"  - {{wire: W{number}, from: {start}, to: {end}, type: {kind}}}"


def through(number: object, points: Iterable[str], kind: str = "control") -> str:
    return f"  - {{wire: W{number}, through: [{', '.join(points)}], type: {kind}}}"


def relay_chain(n: int) -> Added:
    """Relays one after the other: the contact of each feeds the coil of the next."""
    parts = [f"  R{k}: {{kind: relay, coil: 24 V DC 1 W, contacts: {{13-14: NO}}}}" for k in range(n)]
    wires = [wire("a", "X1:2", "R0:A1"), through("b", ["X1:2", *(f"R{k}:13" for k in range(n))])]
    wires += [through("c", ["X2:2", *(f"R{k}:A2" for k in range(n))])]
    wires += [wire(k, f"R{k - 1}:14", f"R{k}:A1") for k in range(1, n)]
    return Added(parts, wires)


def latched_relays(n: int) -> Added:
    """Relays that hold themselves in, each with a button of its own."""
    parts = [f"  R{k}: {{kind: relay, coil: 24 V DC 1 W, contacts: {{13-14: NO}}}}" for k in range(n)]
    parts += [f"  PB{k}: {{kind: push-button, contacts: {{13-14: NO}}}}" for k in range(n)]
    wires = [through("p", ["X1:2", *(f"R{k}:13, PB{k}:13" for k in range(n))])]
    wires += [through("m", ["X2:2", *(f"R{k}:A2" for k in range(n))])]
    wires += [through(k, [f"PB{k}:14", f"R{k}:14", f"R{k}:A1"]) for k in range(n)]
    return Added(parts, wires)


def lamp_chains(n: int) -> Added:
    """Lamps on one daisy chain."""
    parts = [f"  L{k}: {{kind: lamp, {LAMP}}}" for k in range(n)]
    wires = [through("p", ["X1:2", *(f"L{k}:X1" for k in range(n))])]
    return Added(parts, [*wires, through("m", ["X2:2", *(f"L{k}:X2" for k in range(n))])])


def named_lamps(n: int) -> Added:
    """Lamps of one anchor on one daisy chain: the most parts that so many bytes hold."""
    parts = ["  L0: &l {kind: lamp, " + LAMP + "}", *(f"  L{k}: *l" for k in range(1, n))]
    wires = [through("p", ["X1:2", *(f"L{k}:X1" for k in range(n))])]
    return Added(parts, [*wires, through("m", ["X2:2", *(f"L{k}:X2" for k in range(n))])])


def parallel_conductors(n: int) -> Added:
    """Conductors between the same two terminals."""
    return Added((), [wire(k, "X1:3", "K0:13") for k in range(n)])


def many_stops(n: int) -> Added:
    """Stops of the same devices."""
    return Added(stops=[f"  e{k}: {{devices: [S1, S2], category: 0, reset: S3, removes: hazards}}" for k in range(n)])


def stops_in_a_loop(n: int) -> Added:
    """Emergency stops one after the other in both channels of the relay."""
    names = [f"E{k}" for k in range(n)]
    parts = [f"  {name}: {{kind: emergency-stop, contacts: {{11-12: NC, 21-22: NC}}}}" for name in names]
    wires = [
        wire(f"{way}{k}", f"{one}:{way}2", f"{two}:{way}1")
        for way in (1, 2)
        for k, (one, two) in enumerate(zip(["S1", *names], [*names, "S2"], strict=True))
    ]
    return Added(parts, wires, stops=[f"  loop: {{devices: [{', '.join(names)}], category: 0, reset: S3}}"])


def many_states(n: int) -> Added:
    """States in which operators are worked."""
    switches = [f"PB{k}" for k in range(1 + n // 20)]
    parts = [f"  {name}: {{kind: selector, contacts: {{13-14: NO}}}}" for name in switches]
    parts += [f"  L{name}: {{kind: lamp, {LAMP}}}" for name in switches]
    wires = [through(f"p{name}", ["X1:2", f"{name}:13"]) for name in switches]
    wires += [wire(f"l{name}", f"{name}:14", f"L{name}:X1") for name in switches]
    wires += [wire(f"m{name}", f"L{name}:X2", "X2:2") for name in switches]
    states = [f"  s{k}: {{M1: run, M2: run, {switches[k % len(switches)]}: worked}}" for k in range(n)]
    return Added(parts, wires, states)


def cables_of_cores(n: int) -> Added:
    """Cables, each with a switch that feeds a lamp through its cores."""
    parts = [f"  PB{k}: {{kind: limit-switch, at: machine, contacts: {{11-12: NC}}}}" for k in range(n)]
    parts += [f"  L{k}: {{kind: lamp, at: machine, {LAMP}}}" for k in range(n)]
    cables = [
        f"  - {{cable: D{k}, cores: 4, size: 0.75 mm2, insulation: pvc-70, rated: 300 V, length: 3 m, "
        f"join: {{1: [X1:7, PB{k}:11], 2: [PB{k}:12, L{k}:X1], 3: [L{k}:X2, X2:5]}}}}"
        for k in range(n)
    ]
    return Added(parts, cables=cables)


def bridged_terminals(n: int) -> Added:
    """Terminal blocks, all points of each bridged and joined with the next."""
    parts = [f"  T{k}: {{kind: terminals, points: 90, bridged: [1-90]}}" for k in range(n)]
    return Added(parts, [wire("a", "X1:2", "T0:1"), *(wire(k, f"T{k - 1}:90", f"T{k}:1") for k in range(1, n))])


def drives_and_motors(n: int) -> Added:
    """Drives with their motors on one supply, each behind a fuse of its own."""
    parts, wires = [], []
    for k in range(n):
        parts += [
            f"  FD{k}: {{kind: fuse, rating: 5 A, class: T, rated_voltage: 60 V DC}}",
            f"  DD{k}: {{kind: stepper-drive, supply: 24..48 V DC, phase_current: 2.8 A peak}}",
            f"  MD{k}: {{kind: stepper-motor, phase_current: 2.8 A peak, phase_resistance: 1.1 ohm, "
            "holding_torque: 1.2 N·m, work: {speed: 300 rpm, torque: 0.4 N·m}}",
        ]
        wires += [through(f"p{k}", [f"FD{k}:2", f"DD{k}:V+"], "motor"), wire(f"m{k}", f"DD{k}:V-", "X3:3", "motor")]
        wires += [wire(f"{way}{k}", f"DD{k}:{way}", f"MD{k}:{way}", "motor") for way in ("A+", "A-", "B+", "B-")]
    return Added(parts, [through("f", ["F3:1", *(f"FD{k}:1" for k in range(n))], "motor"), *wires])


def fuses_in_series(n: int) -> Added:
    """Fuses one behind the other, a lamp at the end."""
    parts = [f"  FS{k}: {{kind: fuse, rating: 1 A, class: T, rated_voltage: 60 V DC}}" for k in range(n)]
    wires = [wire("a", "X1:2", "FS0:1"), *(wire(k, f"FS{k - 1}:2", f"FS{k}:1") for k in range(1, n))]
    return Added(
        [*parts, f"  LS: {{kind: lamp, {LAMP}}}"],
        [*wires, wire("z", f"FS{n - 1}:2", "LS:X1"), wire("m", "LS:X2", "X2:2")],
    )


def breakers_in_a_tree(n: int) -> Added:
    """Breakers that branch by two, a heater behind each of the last."""
    parts = [
        f"  FT{k}: {{kind: breaker, poles: 1, rating: 4 A, curve: C, breaking: 6 kA, rated_voltage: 230 V AC}}"
        for k in range(n)
    ]
    wires = [wire(k, f"FT{(k - 1) // 2}:2" if k else "Q1:2", f"FT{k}:1", "line") for k in range(n)]
    ends = range((n + 1) // 2 - 1, n)
    parts += [f"  HT{k}: {{kind: heater, rated: 230 V AC 20 W}}" for k in ends]
    wires += [wire(f"h{k}", f"FT{k}:2", f"HT{k}:1", "line") for k in ends]
    return Added(parts, [*wires, *(wire(f"n{k}", f"HT{k}:2", "Q1:4", "neutral") for k in ends)])


def contactors_before_loads(n: int) -> Added:
    """Contactors on the outputs of the stop relay, each with a heater behind it."""
    parts = [
        f"  C{k}: {{kind: contactor, poles: 2, rated: 9 A, rated_voltage: 400 V AC, coil: 24 V DC 3 W, "
        "contacts: {21-22: NC mirror}}"
        for k in range(n)
    ]
    parts += [f"  HC{k}: {{kind: heater, rated: 230 V AC 20 W}}" for k in range(n)]
    wires = [through("l", ["Q1:2", *(f"C{k}:1" for k in range(n))], "line")]
    wires += [through("n", ["Q1:4", *(f"C{k}:3" for k in range(n))], "neutral")]
    wires += [through("p", ["K0:14", *(f"C{k}:A1" for k in range(n))])]
    wires += [through("m", ["X2:4", *(f"C{k}:A2" for k in range(n))])]
    wires += [wire(f"h{k}", f"C{k}:2", f"HC{k}:1", "line") for k in range(n)]
    return Added(parts, [*wires, *(wire(f"o{k}", f"HC{k}:2", f"C{k}:4", "neutral") for k in range(n))])


def supplies_and_earths(n: int) -> Added:
    """Supplies behind one breaker, each with an earth, its return earthed too, and a lamp."""
    parts, wires = [f"  XQ: {{kind: earth-bar, points: {2 * n + 2}}}"], [wire("q", "XPE:6", "XQ:1", "earth")]
    for k in range(n):
        parts += [
            f"  GS{k}: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A, efficiency: 87 %}}",
            f"  LG{k}: {{kind: lamp, {LAMP}}}",
        ]
        wires += [wire(f"e{k}", f"XQ:{2 * k + 2}", f"GS{k}:PE", "earth")]
        wires += [wire(f"b{k}", f"XQ:{2 * k + 3}", f"GS{k}:V-", "earth")]
        wires += [wire(f"p{k}", f"GS{k}:V+", f"LG{k}:X1"), wire(f"m{k}", f"LG{k}:X2", f"GS{k}:V-")]
    wires += [through("l", ["F2:2", *(f"GS{k}:L" for k in range(n))], "line")]
    return Added(parts, [*wires, through("n", ["Q1:4", *(f"GS{k}:N" for k in range(n))], "neutral")])


def inputs_of_cards(n: int) -> Added:
    """Cards whose inputs read buttons."""
    parts = [
        f"  AC{k}: {{kind: io-card, supply: {{between: [24V, 0V], voltage: 24 V DC, current: 150 mA}}, "
        "inputs: {I1: sink, I2: sink, I3: sink, I4: sink}, input_type: 3, common: 0V}"
        for k in range(n)
    ]
    parts += [f"  PB{k}-{i}: {{kind: push-button, contacts: {{13-14: NO}}}}" for k in range(n) for i in range(1, 5)]
    wires = [through("p", ["X1:6", *(f"AC{k}:24V" for k in range(n))])]
    wires += [through("m", ["X2:6", *(f"AC{k}:0V" for k in range(n))])]
    wires += [through("b", ["X1:7", *(f"PB{k}-{i}:13" for k in range(n) for i in range(1, 5))])]
    wires += [wire(f"{k}-{i}", f"PB{k}-{i}:14", f"AC{k}:I{i}") for k in range(n) for i in range(1, 5)]
    return Added(parts, wires)


def mesh_of_lamps(n: int) -> Added:
    """A grid of terminals, each joined with four neighbours, a lamp on each."""
    side = max(2, int(n**0.5))
    spots = [(i, j) for i in range(side) for j in range(side)]
    parts = [f"  T{i}-{j}: {{kind: terminals, points: 5, bridged: [1-5]}}" for i, j in spots]
    wires = [wire("a", "X1:2", "T0-0:5")]
    wires += [wire(f"r{i}-{j}", f"T{i}-{j}:1", f"T{i}-{j + 1}:2") for i, j in spots if j + 1 < side]
    wires += [wire(f"d{i}-{j}", f"T{i}-{j}:3", f"T{i + 1}-{j}:4") for i, j in spots if i + 1 < side]
    parts += [f"  L{i}-{j}: {{kind: lamp, {LAMP}}}" for i, j in spots]
    wires += [wire(f"p{i}-{j}", f"T{i}-{j}:5", f"L{i}-{j}:X1") for i, j in spots]
    return Added(parts, [*wires, through("m", ["X2:2", *(f"L{i}-{j}:X2" for i, j in spots)])])


def contacts_in_a_ladder(n: int) -> Added:
    """Relays whose contacts stand in rungs that all feed the next rung: every way to the last coil leads over each."""
    parts = [f"  R{k}: {{kind: relay, coil: 24 V DC 1 W, contacts: {{13-14: NO, 21-22: NC}}}}" for k in range(n)]
    wires = [through(f"p{k}", [f"R{k - 1}:14" if k else "X1:2", f"R{k}:13", f"R{k}:21", f"R{k}:A1"]) for k in range(n)]
    wires += [wire(f"j{k}", f"R{k}:14", f"R{k}:22") for k in range(n)]
    return Added(parts, [*wires, through("m", ["X2:2", *(f"R{k}:A2" for k in range(n))])])


def chained_terminals(n: int) -> Added:
    """Terminals of two points one after the other, a lamp at the end."""
    parts = [f"  T{k}: {{kind: terminals, points: 2, bridged: [1-2]}}" for k in range(n)]
    wires = [wire("a", "X1:2", "T0:1"), *(wire(k, f"T{k - 1}:2", f"T{k}:1") for k in range(1, n))]
    wires += [wire("z", f"T{n - 1}:2", "LZ:X1"), wire("m", "LZ:X2", "X2:2")]
    return Added([*parts, f"  LZ: {{kind: lamp, {LAMP}}}"], wires)


def stars(n: int) -> Added:
    """Lamps that hang from two points, each by conductors of its own."""
    parts = [f"  L{k}: {{kind: lamp, {LAMP}}}" for k in range(n)]
    wires = []
    for way, at in enumerate(_FEEDS, 1):
        ends = ", ".join(f"L{k}:X{way}" for k in range(n))
        wires.append(f"  - {{wire: W{at[:2]}, star: {{from: {at}, to: [{ends}]}}, type: control}}")
    return Added(parts, wires)


def ducts_apart(n: int) -> Added:
    """Ducts, each apart from the twenty before it, with conductors of its own."""
    apart = [", ".join(f"duct-{j}: 50 mm" for j in range(max(0, k - 20), k)) for k in range(n)]
    routes = [f"  duct-{k}: {{kind: duct, size: 40 x 60 mm, apart: {{{others}}}}}" for k, others in enumerate(apart)]
    parts = [f"  L{k}: {{kind: lamp, {LAMP}}}" for k in range(n)]
    wires = [
        f"  - {{wire: W{at[:2]}{k}, from: {at}, to: L{k}:X{way}, type: control, route: duct-{k}}}"
        for k in range(n)
        for way, at in enumerate(_FEEDS, 1)
    ]
    return Added(parts, wires, routes=routes)


def cables_side_by_side(n: int) -> Added:
    """Cables of many cores that lie on one route, no core of them joined."""
    cable = "cores: 25, size: 0.5 mm2, insulation: pvc-70, rated: 300 V, length: 3 m, route: bench-signal"
    return Added(cables=[f"  - {{cable: D{k}, {cable}, join: {{1: [X1:7, B1:11]}}}}" for k in range(n)])


def thin_conductors(n: int) -> Added:
    """Breakers that are too large for what they feed: findings, each with mends of size."""
    parts = [f"  FB{k}: {{kind: breaker, poles: 1, rating: 32 A, curve: C}}" for k in range(n)]
    parts += [f"  HB{k}: {{kind: heater, rated: 230 V AC 400 W}}" for k in range(n)]
    wires = [through("l", ["Q1:2", *(f"FB{k}:1" for k in range(n))], "control")]
    wires += [wire(f"h{k}", f"FB{k}:2", f"HB{k}:1") for k in range(n)]
    return Added(parts, [*wires, *(wire(f"n{k}", f"HB{k}:2", "Q1:4") for k in range(n))])


def long_names(n: int) -> Added:
    """Lamps whose names are as long as a line."""
    names = [f"L{k}{'n' * 50}" for k in range(n)]
    wires = [through("p", ["X1:2", *(f"{name}:X1" for name in names)])]
    wires += [through("m", ["X2:2", *(f"{name}:X2" for name in names)])]
    return Added([f"  {name}: {{kind: lamp, {LAMP}}}" for name in names], wires)


Shape = Callable[[int], Added]
SHAPES: tuple[Shape, ...] = (
    relay_chain,
    latched_relays,
    lamp_chains,
    named_lamps,
    parallel_conductors,
    many_stops,
    stops_in_a_loop,
    many_states,
    cables_of_cores,
    bridged_terminals,
    drives_and_motors,
    fuses_in_series,
    breakers_in_a_tree,
    contactors_before_loads,
    supplies_and_earths,
    inputs_of_cards,
    mesh_of_lamps,
    contacts_in_a_ladder,
    chained_terminals,
    stars,
    ducts_apart,
    cables_side_by_side,
    thin_conductors,
    long_names,
)


def plan_with(shape: Shape, count: int) -> str:
    """The coil winder with so many of one shape."""
    text = WINDER.read_text("utf-8")
    added = shape(count)
    for section, head in _HEADS.items():
        lines = "".join(f"{line}\n" for line in getattr(added, section))
        text = text.replace(head, head + lines, 1)
    return text


def largest(shape: Shape, size: int) -> tuple[int, str]:
    """The most of a shape that a plan of less than `size` bytes holds, and that plan."""
    least, most = 1, 2
    while len(plan_with(shape, most).encode()) < size:
        least, most = most, 2 * most
    while most - least > 1:
        middle = (least + most) // 2
        if len(plan_with(shape, middle).encode()) < size:
            least = middle
        else:
            most = middle
    return least, plan_with(shape, least)
