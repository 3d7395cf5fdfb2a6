"""Small machines with operators beside the stop, written as parts and wires."""

from __future__ import annotations

_WIRE = "size: 1.5 mm2, length: 1 m"
_HEAD = "mains: {inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}\n"


def machine(
    parts: str,
    wires: str,
    *,
    stops: str = "emergency: {devices: [S1], category: 0, reset: S2}",
    states: str = "",
    more: str = "",
) -> str:
    """A plan of `parts` (a line each) and `wires` ("A:1>B:2 ..."), with `more` sections after them."""
    lines = [
        f"  - {{wire: {n + 1}, from: '{a}', to: '{b}', {_WIRE}}}"
        for n, (a, b) in enumerate(wire.split(">") for wire in wires.split())
    ]
    told = f"states: {{{states}}}\n" if states else ""
    body = "\n".join(f"  {line.strip()}" for line in parts.strip().splitlines())
    return (
        f"{_HEAD}{told}stops: {{{stops}}}\nparts:\n  X0: {{kind: inlet}}\n{body}\nwires:\n"
        + "\n".join(lines)
        + f"\n{more}"
    )


def heater(name: str = "E1") -> str:
    return f"{name}: {{kind: heater, rated: 230 V AC 500 W, metal: false}}\n"


def button(name: str, contacts: str = "13-14: NO", kind: str = "push-button", more: str = "") -> str:
    return f"{name}: {{kind: {kind}, contacts: {{{contacts}}}{more}}}\n"


def contactor(name: str, contacts: str = "13-14: NO", volts: str = "230 V AC 5 W") -> str:
    return f"{name}: {{kind: contactor, poles: 1, coil: {volts}, contacts: {{{contacts}}}}}\n"


def stop_button(contacts: str = "11-12: NC, 21-22: NC", name: str = "S1") -> str:
    return f"{name}: {{kind: emergency-stop, contacts: {{{contacts}}}}}\n"


#: A contactor before a heater, its coil fed through `coil` ("A:1>B:2 ..." from X0:L to K1:A1).
def one_contactor(parts: str, coil: str, **given: str) -> str:
    return machine(
        stop_button() + heater() + contactor("K1") + parts,
        f"X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N {coil}",
        **given,
    )


#: Two channels, a safety relay with a monitored reset, K1 and K2 in series before E1; all on 24 V earthed at V-.
RELAY_PARTS = (
    stop_button()
    + button("S2")
    + heater()
    + "G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}\n"
    + "K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24]}\n"
    + contactor("K1", "21-22: NC mirror", "24 V DC 3 W")
    + contactor("K2", "21-22: NC mirror", "24 V DC 3 W")
)
RELAY_WIRES = (
    "X0:L>G1:L X0:N>G1:N X0:N>E1:2 X0:PE>G1:PE X0:PE>G1:V- G1:V+>K0:A1 G1:V->K0:A2 G1:V+>K0:13 G1:V+>K0:23 "
    "K0:S11>S1:11 S1:12>K0:S12 K0:S21>S1:21 S1:22>K0:S22 K0:S33>S2:13 S2:14>K1:21 K1:22>K2:21 K2:22>K0:S34 "
    "K0:14>K1:A1 K1:A2>G1:V- K0:24>K2:A1 K2:A2>G1:V- X0:L>K1:1 K1:2>K2:1 "
)


def relay(parts: str = "", wires: str = "K2:2>E1:1", *, mode: str = "monitored", **given: str) -> str:
    """The two channels with further parts and wires; `wires` must lead K2:2 to E1:1."""
    return machine(
        RELAY_PARTS.replace("outputs:", f"reset_mode: {mode}, outputs:") + parts, RELAY_WIRES + wires, **given
    )
