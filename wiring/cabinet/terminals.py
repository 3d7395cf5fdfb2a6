"""Where on a part its terminals are, as far as the lengths of wires go: in a row along its upper and lower edge."""

from __future__ import annotations

from wiring.parts.base import Part
from wiring.parts.elements import Coil, Pole, Switch
from wiring.parts.outlines import Outline
from wiring.parts.passive import Terminals

#: A terminal: how far from the left edge as a share of the width, and whether it looks up, down, or both ways (None).
Side = tuple[float, bool | None]


def terminal_sides(part: Part, outline: Outline) -> dict[str, Side]:
    """The terminals of a part. Poles, contacts and coils begin above and end below; of any other part the first half
    looks up. A row of terminals takes wires from both sides, a bar at the foot from above. Typical, no source.
    """
    names = list(part.terminals)
    if outline.mount == "foot":
        return {name: ((n + 0.5) / len(names), True) for n, name in enumerate(names)}
    if isinstance(part.data, Terminals):
        return {name: ((n + 0.5) / len(names), None) for n, name in enumerate(names)}
    paths = [element for element in part.elements if isinstance(element, Pole | Switch | Coil)]
    below, above = {path.b for path in paths}, {path.a for path in paths}
    rest = [name for name in names if name not in above | below]
    up = [name for name in names if name in above - below or name in rest[: (len(rest) + 1) // 2]]
    down = [name for name in names if name not in up]
    return _on_edge(up, True) | _on_edge(down, False)


def _on_edge(names: list[str], upwards: bool) -> dict[str, Side]:
    return {name: ((n + 0.5) / len(names), upwards) for n, name in enumerate(names)}
