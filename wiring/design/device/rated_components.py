"""The parts of the power circuit that have a short-circuit rating."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.fault.paths import MAINS
from wiring.parts.drives import Drive
from wiring.parts.passive import Terminals
from wiring.parts.protection import Disconnector, Fuse, MotorProtector
from wiring.parts.switching import Contactor

#: Kinds of the table of default ratings, UL 508A supplement SB.
_COMPONENTS = (
    (Disconnector, "switch_unit"),
    (Contactor, "motor_controller_0_to_50_hp"),
    (Drive, "motor_controller_0_to_50_hp"),
    (MotorProtector, "overload_relay_auxiliary_device"),
    (Terminals, "terminal_block_or_power_distribution_block"),
    (Fuse, "fuseholder"),
)


def on_mains(design: Design) -> set[str]:
    """The names of the parts that a line of the mains reaches before a source of its own."""
    paths = design.short_circuits.paths
    reached = {node[0] for node, one in paths.hot.items() if paths.origins[one.origin].part == MAINS}
    return reached & set(design.parts)


def rated_components(design: Design) -> dict[str, str]:
    """The parts of the power circuit by name, each with its kind in the table of default ratings."""
    found = {}
    for name in sorted(on_mains(design)):
        data = design.parts[name].data
        kind = next((word for model, word in _COMPONENTS if isinstance(data, model)), None)
        breaks = isinstance(data, MotorProtector) and data.magnetic  # and is judged by what it breaks
        if kind is not None and not breaks:
            found[name] = kind
    return found
