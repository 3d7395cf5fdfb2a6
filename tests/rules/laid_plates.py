"""Small plates with positions for the rules on the cabinet: three parts of given sizes on a plate of 349 x 470 mm."""

from __future__ import annotations

from helpers import design

from wiring.design.design import Design

#: The box is 400 x 500 x 200 mm outside; what is not said of a part is given, so that nothing typical plays a role.
SIZES = {"F1": "20 x 80 x 70 mm", "G1": "60 x 120 x 110 mm", "K1": "45 x 80 x 90 mm"}


def plate(
    positions: dict[str, str],
    more: dict[str, str] | None = None,
    enclosure: str = "",
    rest: str = "",
    book: str = "iec",
) -> Design:
    """A breaker F1, a supply G1 and a contactor K1 where `positions` say; `more` is further data of each."""
    kinds = {
        "F1": "kind: breaker, rating: 6 A, curve: C",
        "G1": "kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A",
        "K1": "kind: contactor, poles: 3, coil: 24 V DC 3 W",
    }
    lines = []
    for name, kind in kinds.items():
        place = f", position: {positions[name]}" if name in positions else ""
        extra = f", {more[name]}" if more and name in more else ""
        free = "" if "clearance" in extra else ", clearance: {}"
        lines.append(f"  {name}: {{{kind}, size: {SIZES[name]}{free}{place}{extra}}}")
    body = "\n".join(lines)
    return design(f"enclosure: {{size: 400 x 500 x 200 mm{enclosure}}}\nparts:\n{body}\n{rest}", book)


#: Apart from each other by 40 mm and more.
APART = {"F1": "50 x 300 mm", "G1": "110 x 280 mm", "K1": "230 x 300 mm"}
