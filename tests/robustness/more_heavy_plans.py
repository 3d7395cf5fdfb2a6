"""More plans shaped to hurt: what differs each time, so that nothing found once serves the next, and what branches."""

from __future__ import annotations

from itertools import pairwise

from tests.robustness.heavy_plans import LAMP, Added, Shape, through, wire


def switches_in_series(n: int) -> Added:
    """Selectors one behind the other, a lamp at the end."""
    parts = [f"  PB{k}: {{kind: selector, contacts: {{13-14: NO}}}}" for k in range(n)]
    wires = [wire(k, f"PB{k - 1}:14" if k else "X1:2", f"PB{k}:13") for k in range(n)]
    wires += [wire("z", f"PB{n - 1}:14", "LS:X1"), wire("m", "LS:X2", "X2:2")]
    return Added([*parts, f"  LS: {{kind: lamp, {LAMP}}}"], wires)


def switches_in_parallel(n: int) -> Added:
    """Selectors side by side before one lamp."""
    parts = [f"  PB{k}: {{kind: selector, contacts: {{13-14: NO}}}}" for k in range(n)]
    wires = [through("p", ["X1:2", *(f"PB{k}:13" for k in range(n))])]
    wires += [through("q", [*(f"PB{k}:14" for k in range(n)), "LS:X1"]), wire("m", "LS:X2", "X2:2")]
    return Added([*parts, f"  LS: {{kind: lamp, {LAMP}}}"], wires)


def selectors_before_heaters(n: int) -> Added:
    """Heaters behind the contactors of the stop, each switched by a selector of its own."""
    parts = [f"  PB{k}: {{kind: selector, contacts: {{13-14: NO}}}}" for k in range(n)]
    parts += [f"  HS{k}: {{kind: heater, rated: 230 V AC 20 W}}" for k in range(n)]
    wires = [through("p", ["Q1:2", *(f"PB{k}:13" for k in range(n))], "line")]
    wires += [wire(f"h{k}", f"PB{k}:14", f"HS{k}:1", "line") for k in range(n)]
    return Added(parts, [*wires, through("n", ["Q1:4", *(f"HS{k}:2" for k in range(n))], "neutral")])


def states_unlike(n: int) -> Added:
    """States that differ in the speed of a motor."""
    return Added(states=[f"  s{k}: {{M1: {{speed: {100 + k} rpm, torque: 0.1 N·m}}, M2: run}}" for k in range(n)])


def states_of_operators(n: int) -> Added:
    """States in each of which another set of selectors is worked."""
    few = max(4, n.bit_length() + 1)
    parts = [f"  PB{k}: {{kind: selector, contacts: {{13-14: NO}}}}" for k in range(few)]
    parts += [f"  L{k}: {{kind: lamp, {LAMP}}}" for k in range(few)]
    wires = [through("p", ["X1:2", *(f"PB{k}:13" for k in range(few))])]
    wires += [wire(f"l{k}", f"PB{k}:14", f"L{k}:X1") for k in range(few)]
    wires += [through("m", ["X2:2", *(f"L{k}:X2" for k in range(few))])]
    sets = [", ".join(f"PB{bit}: worked" for bit in range(few) if k >> bit & 1) for k in range(1, n + 1)]
    return Added(parts, wires, [f"  s{k}: {{M1: run, {some}}}" for k, some in enumerate(sets)])


def stops_of_their_own(n: int) -> Added:
    """Stops, each with a button that only it names, all in one channel of the relay."""
    names = [f"E{k}" for k in range(n)]
    parts = [f"  {name}: {{kind: emergency-stop, contacts: {{11-12: NC, 21-22: NC}}}}" for name in names]
    wires = [wire(k, f"{one}:12", f"{two}:11") for k, (one, two) in enumerate(pairwise(names))]
    stops = [f"  own{k}: {{devices: [{name}], category: 0, reset: S3, removes: [M1]}}" for k, name in enumerate(names)]
    return Added(parts, wires, stops=stops)


def supplies_in_parallel(n: int) -> Added:
    """Supplies whose outputs are joined, before one lamp."""
    parts = [
        f"  GP{k}: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A, efficiency: 87 %}}" for k in range(n)
    ]
    wires = [through("l", ["F2:2", *(f"GP{k}:L" for k in range(n))], "line")]
    wires += [through("n", ["Q1:4", *(f"GP{k}:N" for k in range(n))], "neutral")]
    wires += [through("p", [*(f"GP{k}:V+" for k in range(n)), "LP:X1"])]
    wires += [through("m", [*(f"GP{k}:V-" for k in range(n)), "LP:X2"])]
    return Added([*parts, f"  LP: {{kind: lamp, {LAMP}}}"], wires)


def boards_in_boards(n: int) -> Added:
    """Distribution boards, each fed from the one before behind a breaker of its own, with a socket for a heater."""
    parts, wires = [], []
    for k in range(n):
        parts += [
            f"  FN{k}: {{kind: breaker, poles: 2, rating: 16 A, curve: C, breaking: 6 kA, rated_voltage: 230 V AC}}",
            f"  XN{k}: {{kind: terminals, points: 3, bridged: [1-3]}}",
            f"  XL{k}: {{kind: terminals, points: 3, bridged: [1-3]}}",
            f"  HN{k}: {{kind: heater, rated: 230 V AC 5 W}}",
        ]
        wires += [
            wire(f"l{k}", f"XL{k - 1}:3" if k else "Q1:2", f"FN{k}:1", "line"),
            wire(f"n{k}", f"XN{k - 1}:3" if k else "Q1:4", f"FN{k}:3", "neutral"),
            wire(f"a{k}", f"FN{k}:2", f"XL{k}:1", "line"),
            wire(f"b{k}", f"FN{k}:4", f"XN{k}:1", "neutral"),
            wire(f"h{k}", f"XL{k}:2", f"HN{k}:1", "line"),
            wire(f"o{k}", f"XN{k}:2", f"HN{k}:2", "neutral"),
        ]
    return Added(parts, wires)


def star_of_terminals(n: int) -> Added:
    """Terminals that hang from one point, with nothing behind them."""
    parts = [f"  T{k}: {{kind: terminals, points: 2, bridged: [1-2]}}" for k in range(n)]
    ends = ", ".join(f"T{k}:1" for k in range(n))
    return Added(parts, [f"  - {{wire: Wt, star: {{from: X1:2, to: [{ends}]}}, type: control}}"])


def wide_terminals(n: int) -> Added:
    """One block of terminals after the other, no point bridged, a wire at each."""
    rows = -(-n // 90)
    parts = [f"  T{k}: {{kind: terminals, points: 90}}" for k in range(rows)]
    return Added(parts, [wire(k, "X1:2", f"T{k // 90}:{k % 90 + 1}") for k in range(n)])


def interlocked_contactors(n: int) -> Added:
    """Contactors in a row, each in only while the one before it is out."""
    parts = [
        f"  C{k}: {{kind: contactor, poles: 2, rated: 9 A, rated_voltage: 400 V AC, coil: 24 V DC 3 W, "
        "contacts: {21-22: NC mirror}}"
        for k in range(n)
    ]
    wires = [through("p", ["K0:14", *(f"C{k}:21" for k in range(n))])]
    wires += [through("m", ["X2:4", *(f"C{k}:A2" for k in range(n))])]
    return Added(parts, [*wires, *(wire(k, f"C{(k - 1) % n}:22", f"C{k}:A1") for k in range(n))])


def rings_of_wires(n: int) -> Added:
    """Lamps between two closed rings."""
    parts = [f"  L{k}: {{kind: lamp, {LAMP}}}" for k in range(n)]
    wires = [through("p", ["X1:2", *(f"L{k}:X1" for k in range(n)), "X1:3"])]
    return Added(parts, [*wires, through("m", ["X2:2", *(f"L{k}:X2" for k in range(n)), "X2:3"])])


def ladder_of_lamps(n: int) -> Added:
    """Lamps in series, each with its neighbour's other end joined: a net that no reduction in series ends."""
    parts = [f"  L{k}: {{kind: lamp, {LAMP}}}" for k in range(2 * n)]
    wires = [wire("a", "X1:2", "L0:X1")]
    wires += [wire(f"s{k}", f"L{2 * k}:X2", f"L{2 * k + 2}:X1") for k in range(n - 1)]
    wires += [wire(f"r{k}", f"L{2 * k}:X2", f"L{2 * k + 1}:X1") for k in range(n)]
    return Added(parts, [*wires, through("m", ["X2:2", *(f"L{2 * k + 1}:X2" for k in range(n))])])


def motors_on_contactors(n: int) -> Added:
    """Motors, each behind a motor protector and a contactor on the outputs of the stop relay."""
    parts, wires = [], [through("c", ["K0:14", *(f"CM{k}:A1" for k in range(n))])]
    wires += [through("d", ["X2:4", *(f"CM{k}:A2" for k in range(n))])]
    for k in range(n):
        parts += [
            f"  FM{k}: {{kind: breaker, poles: 2, rating: 6 A, curve: D, breaking: 6 kA, rated_voltage: 230 V AC}}",
            f"  CM{k}: {{kind: contactor, poles: 2, rated: 9 A, rated_voltage: 400 V AC, coil: 24 V DC 3 W, "
            "contacts: {21-22: NC mirror}}",
            f"  PM{k}: {{kind: fan, rated: 230 V AC 30 W}}",
        ]
        wires += [wire(f"l{k}", "Q1:2", f"FM{k}:1", "line"), wire(f"n{k}", "Q1:4", f"FM{k}:3", "neutral")]
        wires += [wire(f"a{k}", f"FM{k}:2", f"CM{k}:1", "line"), wire(f"b{k}", f"FM{k}:4", f"CM{k}:3", "neutral")]
        wires += [wire(f"e{k}", f"CM{k}:2", f"PM{k}:L", "line"), wire(f"f{k}", f"CM{k}:4", f"PM{k}:N", "neutral")]
    return Added(parts, wires)


MORE_SHAPES: tuple[Shape, ...] = (
    switches_in_series,
    switches_in_parallel,
    selectors_before_heaters,
    states_unlike,
    states_of_operators,
    stops_of_their_own,
    supplies_in_parallel,
    boards_in_boards,
    star_of_terminals,
    wide_terminals,
    interlocked_contactors,
    rings_of_wires,
    ladder_of_lamps,
    motors_on_contactors,
)
