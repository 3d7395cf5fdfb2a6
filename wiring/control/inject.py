"""The cases of a screen put into its net: which faults hold in which cases, as sets of bits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from wiring.control.bits import mask
from wiring.control.faults import Fault
from wiring.control.net import Net
from wiring.solver.assembly import Actuator


@dataclass(frozen=True, slots=True)
class Case:
    """One device worked on a machine with some faults (none, one, or a pair)."""

    device: str
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Injected:
    """Sets of cases: by path id, by actuator, by part, by device; `bridges` are ends, set, and whether certain."""

    opened: dict[str, int]
    closed: dict[str, int]
    on: dict[Actuator, int]
    off: dict[Actuator, int]
    dead: dict[str, int]
    bridges: list[tuple[int, int, int, bool]]
    devices: dict[str, int]


def inject(net: Net, cases: Sequence[Case]) -> Injected:
    """The sets of a list of cases."""
    count = len(cases)

    def gathered(keys: Callable[[Fault], Sequence[object]]) -> dict[object, int]:
        found: dict[object, list[int]] = {}
        for n, case in enumerate(cases):
            for fault in case.faults:
                for key in keys(fault):
                    found.setdefault(key, []).append(n)
        return {key: mask(held, count) for key, held in found.items()}

    devices: dict[str, list[int]] = {}
    for n, case in enumerate(cases):
        devices.setdefault(case.device, []).append(n)
    bridges = gathered(lambda fault: _ends(net, fault))
    return Injected(
        opened=gathered(lambda fault: fault.opened),  # type: ignore[arg-type]
        closed=gathered(lambda fault: fault.closed),  # type: ignore[arg-type]
        on=gathered(lambda fault: fault.on),  # type: ignore[arg-type]
        off=gathered(lambda fault: fault.off),  # type: ignore[arg-type]
        dead=gathered(lambda fault: fault.dead),  # type: ignore[arg-type]
        bridges=[(a, b, bits, sure) for (a, b, sure), bits in bridges.items()],  # type: ignore[misc]
        devices={device: mask(held, count) for device, held in devices.items()},
    )


def _ends(net: Net, fault: Fault) -> list[tuple[int, int, bool]]:
    ends = net.bridge(*fault.bridge) if fault.bridge is not None else None
    return [] if ends is None else [ends]
