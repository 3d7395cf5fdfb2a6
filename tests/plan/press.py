"""A small plan without a fault, and a way to spoil it at a marked place."""

from __future__ import annotations

PRESS = """\
format: 1
machine: Press
rulebook: iec
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S}
enclosure: {size: 500 x 400 x 210 mm, material: aluminium, mounting: wall, protection: IP54}
states:
  ready: {M1: hold}
stops:
  emergency: {devices: [S1], category: 0, removes: [M1]}
parts:
  X0: {kind: inlet}
  S1: {kind: emergency-stop}
  M1: {kind: motor, title: ram}
wire_types:
  line: {size: 1.5 mm2, colour: BK, insulation: pvc-70, rated: 500 V, route: duct}
routes:
  duct: {kind: duct, size: 40 x 60 mm}
wires:
  - {wire: 1, from: X0:L, to: M1:U, type: line}
  - {wire: 2, through: [X0:N, S1:11, M1:V]}
cables:
  - {cable: C1, cores: 2, length: 2 m, join: {1: [X0:L, M1:U], 2: [X0:N, M1:V]}, shield: {ends: [X0:PE]}}
"""

Where = tuple[int, int, int]


def spoil(old: str, new: str) -> tuple[str, list[Where]]:
    """The press with its first `old` replaced by `new`, and (line, column, length) of every «marked» place in it."""
    assert old in PRESS
    marked = PRESS.replace(old, new, 1)
    places, text = [], ""
    for piece in marked.split("«"):
        if "»" in piece:
            inside, after = piece.split("»")
            line = text.count("\n") + 1
            places.append((line, len(text) - text.rfind("\n"), len(inside)))
            text += inside + after
        else:
            text += piece
    return text, places
