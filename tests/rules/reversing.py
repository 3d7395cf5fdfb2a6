"""A motor on two contactors that turn it round, for the tests of two rules: three phases, coils on 24 V."""

from __future__ import annotations

#: Control circuits by what locks the contactors: nothing, one way or the other alone, both ways, buttons, a relay.
LOCKS = {
    "none": ["S1:14>K1:A1", "S2:14>K2:A1"],
    "one way": ["S1:14>K2:21", "K2:22>K1:A1", "S2:14>K2:A1"],
    "other way": ["S1:14>K1:A1", "S2:14>K1:21", "K1:22>K2:A1"],
    "both ways": ["S1:14>K2:21", "K2:22>K1:A1", "S2:14>K1:21", "K1:22>K2:A1"],
    "buttons": ["S1:14>S2:21", "S2:22>K1:A1", "S2:14>S1:21", "S1:22>K2:A1"],
    "relay": ["K3:12>K1:A1", "K3:14>K2:A1", "G1:V+>K3:11", "S2:14>K3:A1", "K3:A2>G1:V-"],
}


def body(
    lock: str = "both ways", *, swapped: tuple[str, str, str] = ("6", "4", "2"), coils: str = "24 V DC 3 W"
) -> str:
    """The plan; `swapped` are the poles of K2 on which U, V and W of the motor hang, 2-4-6 for the same order."""
    wires = ["X0:L1>K1:1", "X0:L2>K1:3", "X0:L3>K1:5", "K1:1>K2:1", "K1:3>K2:3", "K1:5>K2:5"]
    wires += ["K1:2>M1:U", "K1:4>M1:V", "K1:6>M1:W"]
    wires += [f"K2:{pole}>M1:{end}" for pole, end in zip(swapped, "UVW", strict=True)]
    wires += ["X0:L1>G1:L", "X0:N>G1:N", "X0:PE>G1:PE", "X0:PE>M1:PE", "G1:V+>S1:13", "G1:V+>S2:13"]
    wires += ["K1:A2>G1:V-", "K2:A2>G1:V-", "X0:PE>G1:V-", *LOCKS[lock]]
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}', size: 1.5 mm2, length: 1 m}}"
        for n, (a, b) in enumerate((wire.split(">") for wire in wires), 1)
    )
    contactor = f"{{kind: contactor, poles: 3, coil: {coils}, contacts: {{21-22: NC}}}}"
    button = "{kind: push-button, contacts: {13-14: NO, 21-22: NC}}"
    relay = "  K3: {kind: relay, coil: 24 V DC 1 W, contacts: {11-12: NC, 11-14: NO}}\n" if lock == "relay" else ""
    return f"""mains: {{inlet: X0, system: three-phase, voltage: 400 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  S1: {button}
  S2: {button}
  K1: {contactor}
  K2: {contactor}
{relay}  M1: {{kind: motor, voltage: 400 V AC, phases: 3, rated_power: 370 W, rated_current: 1.1 A}}
wires:
{lines}
"""
