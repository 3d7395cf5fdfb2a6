"""Coils that hold themselves in and may as well be out while the machine runs: nothing in a plan says which it is."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from wiring.control.inject import Case
from wiring.control.net import Net
from wiring.control.parallel_fault_simulation import ParallelSimulation
from wiring.control.script import StopUse
from wiring.solver.assembly import Actuator


def may_be_out(net: Net, use: StopUse) -> tuple[frozenset[Actuator], ...]:
    """The coils that stay out once they are, and all of whose machine runs on without: all of them in one set where it
    runs on so too, else one at a time."""
    movers = {path.moved_by for path in net.paths}
    coils = sorted({coil.actuator for coil in net.coils} & movers - use.out)
    if not coils or not use.devices:
        return ()
    alone = [frozenset({coil}) for coil in coils]
    found = frozenset().union(*_stay_out(net, use, alone))
    return (found,) if found and _stay_out(net, use, [found]) else tuple(frozenset({coil}) for coil in sorted(found))


def _stay_out(net: Net, use: StopUse, tried: Sequence[frozenset[Actuator]]) -> list[frozenset[Actuator]]:
    """Of some sets of coils those that stay out, perhaps, and leave everything alive that is so with all of them in."""
    cases = [Case(use.devices[0], ())] * (len(tried) + 1)
    shares = [(replace(use, out=use.out | some), 1) for some in (frozenset[Actuator](), *tried)]
    seen = ParallelSimulation(net, cases, use, shares).running()
    on = dict(zip([coil.actuator for coil in net.coils], seen.coils, strict=False))
    found = []
    for n, some in enumerate(tried, 1):
        runs = all(perhaps >> n & 1 or not perhaps & 1 for _, perhaps in seen.targets)
        if runs and not any(on[coil][0] >> n & 1 for coil in some):
            found.append(some)
    return found
