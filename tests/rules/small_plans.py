"""A small machine for tests: an inlet, a 24 V supply with rows of terminals for plus and return, earthed once."""

from __future__ import annotations

from textwrap import dedent, indent

HEAD = "mains: {inlet: X0, system: single-phase, voltage: 230 V}\n"
PARTS = """
X0: {kind: inlet}
G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A, class: II, wires_per_terminal: 2}
X1: {kind: terminals, points: 12, bridged: [1-12]}
X2: {kind: terminals, points: 12, bridged: [1-12]}
XPE: {kind: earth-bar, points: 12}
"""
WIRES = """
- {wire: b1, from: X0:L, to: G1:L}
- {wire: b2, from: X0:N, to: G1:N}
- {wire: b3, from: G1:V+, to: X1:1}
- {wire: b4, from: G1:V-, to: X2:1}
- {wire: b5, from: X0:PE, to: XPE:1}
- {wire: b6, from: X2:12, to: XPE:2}
"""


def block(text: str) -> str:
    """The lines of a block, indented to stand under a key."""
    return indent(dedent(text).strip("\n") + "\n", "  ") if text.strip() else ""


def plan(parts: str = "", wires: str = "", cables: str = "", more: str = "") -> str:
    """The small machine with further parts, wires and cables; `more` stands before them."""
    body = f"{HEAD}{dedent(more).strip()}\nparts:\n{block(PARTS)}{block(parts)}wires:\n{block(WIRES)}{block(wires)}"
    return body + (f"cables:\n{block(cables)}" if cables else "")
