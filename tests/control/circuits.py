"""Small control circuits as plans, and ladders of contacts turned into plans."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

SEAL = """
mains: {inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}
stops: {emergency: {devices: [S1], category: 0, reset: S2}}
parts:
  X0: {kind: inlet}
  S1: {kind: emergency-stop, contacts: {11-12: NC}}
  S2: {kind: push-button, contacts: {13-14: NO}}
  K1: {kind: contactor, poles: 1, coil: 230 V AC 5 W, contacts: {13-14: NO}}
  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
wires:
  - {wire: 1, from: X0:L, to: K1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: K1:2, to: E1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 3, from: X0:N, to: E1:2, size: 1.5 mm2, length: 1 m}
  - {wire: 4, from: X0:L, to: S1:11, size: 1.5 mm2, length: 1 m}
  - {wire: 5, from: S1:12, to: S2:13, size: 1.5 mm2, length: 1 m}
  - {wire: 6, from: S2:13, to: K1:13, size: 1.5 mm2, length: 1 m}
  - {wire: 7, from: S2:14, to: K1:A1, size: 1.5 mm2, length: 1 m}
  - {wire: 8, from: K1:14, to: K1:A1, size: 1.5 mm2, length: 1 m}
  - {wire: 9, from: K1:A2, to: X0:N, size: 1.5 mm2, length: 1 m}
"""

_WIRE = "size: 1.5 mm2, length: 1 m"


def two_channels(
    *, feedback: bool = True, reset: str = "monitored", cross_fault: bool = False, poles: int = 2, cable: bool = True
) -> str:
    """A safety relay with two channels through one cable, and one or two contactors in the feed of a heater."""
    contactors = ["K1", "K2"][:poles]
    loop = " ".join(contactors) if feedback else ""
    wires = [
        "X0:L>G1:L", "X0:N>G1:N", "X0:N>E1:2", "X0:PE>G1:PE", "X0:PE>G1:V-", "G1:V+>K0:A1", "G1:V->K0:A2",
        "G1:V+>K0:13", "G1:V+>K0:23", "K0:S33>S2:13",
    ]  # fmt: skip
    point = "S2:14"
    for name in loop.split():
        wires.append(f"{point}>{name}:21")
        point = f"{name}:22"
    wires.append(f"{point}>K0:S34")
    point = "X0:L"
    for number, name in enumerate(contactors):
        wires += [f"{point}>{name}:1", f"K0:{'14' if number == 0 else '24'}>{name}:A1", f"{name}:A2>G1:V-"]
        point = f"{name}:2"
    wires.append(f"{point}>E1:1")
    cores = {"1": "K0:S11>S1:11", "2": "S1:12>K0:S12", "3": "K0:S21>S1:21", "4": "S1:22>K0:S22"}
    if not cable:
        wires += cores.values()
    lines = [
        f"  - {{wire: {n + 1}, from: '{a}', to: '{b}', {_WIRE}}}"
        for n, (a, b) in enumerate(wire.split(">", 1) for wire in wires)
    ]
    join = ", ".join(f"{name}: ['{a}', '{b}']" for name, (a, b) in ((k, v.split(">")) for k, v in cores.items()))
    parts = "\n".join(
        f"  {name}: {{kind: contactor, poles: 1, coil: 24 V DC 3 W, contacts: {{21-22: NC mirror}}}}"
        for name in contactors
    )
    drawn = f"cables:\n  - {{cable: C1, cores: 4, size: 0.75 mm2, length: 3 m, join: {{{join}}}}}\n" if cable else ""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
stops: {{emergency: {{devices: [S1], category: 0, reset: S2}}}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  S1: {{kind: emergency-stop, at: machine, contacts: {{11-12: NC, 21-22: NC}}}}
  S2: {{kind: push-button, contacts: {{13-14: NO}}}}
  K0: {{kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24],
       reset_mode: {reset}, cross_fault: {str(cross_fault).lower()}}}
{parts}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
wires:
{chr(10).join(lines)}
{drawn}"""


class _Ladder:
    """Rungs of nested `ser` and `par` lists as relays, buttons and wires on 24 V DC."""

    def __init__(self, rungs: dict[str, Any]) -> None:
        self.rungs = rungs
        self.contacts: dict[str, list[str]] = {}
        self.wires: list[tuple[str, str]] = []

    def contact(self, text: str) -> tuple[str, str]:
        name, word = text.split(".")
        pairs = self.contacts.setdefault(name, [])
        first = 101 + 2 * len(pairs)
        pairs.append(f"{first}-{first + 1}: {'NO' if word == 'no' else 'NC'}")
        return f"{name}:{first}", f"{name}:{first + 1}"

    def branch(self, node: Any) -> tuple[list[str], list[str]]:
        """The terminals at the near and far end of a piece of a rung."""
        if isinstance(node, str):
            a, b = self.contact(node)
            return [a], [b]
        kind, *items = node
        ends = [self.branch(item) for item in items]
        if kind == "par":
            near = [point for end in ends for point in end[0]]
            far = [point for end in ends for point in end[1]]
            self.tie(near)
            self.tie(far)
            return near, far
        for (_, far), (near, _) in pairwise(ends):
            self.wires.append((far[0], near[0]))
        return ends[0][0], ends[-1][1]

    def tie(self, points: list[str]) -> None:
        self.wires += list(pairwise(points))

    def plan(self) -> str:
        for name, rung in self.rungs.items():
            near, far = self.branch(rung)
            self.wires += [("G1:V+", near[0]), (far[0], f"{name}:A1"), (f"{name}:A2", "G1:V-")]
        inputs = [name for name in self.contacts if name not in self.rungs]
        parts = [
            f"  {name}: {{kind: relay, coil: 24 V DC 1 W, contacts: {{{', '.join(self.contacts.get(name, []))}}}}}"
            for name in self.rungs
        ]
        parts += [f"  {name}: {{kind: push-button, contacts: {{{', '.join(self.contacts[name])}}}}}" for name in inputs]
        wires = [("X0:L", "G1:L"), ("X0:N", "G1:N"), ("X0:PE", "G1:V-"), *self.wires]
        lines = [f"  - {{wire: {n + 1}, from: '{a}', to: '{b}', {_WIRE}}}" for n, (a, b) in enumerate(wires)]
        return (
            "mains: {inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}\n"
            "parts:\n  X0: {kind: inlet}\n"
            "  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A}\n"
            + "\n".join(parts)
            + "\nwires:\n"
            + "\n".join(lines)
            + "\n"
        )


def ladder(rungs: dict[str, Any]) -> str:
    """The plan of a ladder; every rung is a relay of its name, every other contact a push-button."""
    return _Ladder(rungs).plan()
