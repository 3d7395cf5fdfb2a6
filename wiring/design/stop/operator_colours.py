"""What the buttons of stops do, and their colours."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.parts.operators import EmergencyStop, PushButton
from wiring.plan.colours import colour_name, read_colour
from wiring.plan.fault import Refusal


def button_functions(design: Design) -> dict[str, str]:
    """What each stop and reset button does; one that does both counts as a stop."""
    found: dict[str, str] = {}
    for stop in design.plan.stops.values():
        for name in (*stop.devices, *((stop.reset,) if stop.reset else ())):
            part = design.parts.get(name)
            if part is None:
                continue
            if isinstance(part.data, EmergencyStop):
                found[name] = "emergency stop"
            elif isinstance(part.data, PushButton) and found.get(name) != "stop":
                found[name] = "stop" if name in stop.devices else "reset"
    return found


def colour_code(colour: str) -> str:
    """The code of a colour that the plan names; what it says where no code fits."""
    try:
        return read_colour(colour)
    except Refusal:
        return colour


def colour_words(colour: str) -> str:
    """The name of a colour in words; what the plan says where it has none."""
    code = colour_code(colour)
    try:
        return colour_name(code)
    except ValueError:
        return colour
