"""The current of a process returns through protective conductors.

The work lead of an arc, a hot wire or a welder is the return of its current and no earth. Where it is missing, or
joined to the earth bar instead of the source, the whole current flows through protective conductors and frames that
were never sized for it. A work lead that meets the source on one piece of metal, itself earthed, is right.

Fires on hot-wire at 21
    FR.points=2
    21.to=FR:2
Quiet
    21.to=G4:OUT-
Not judged
    A process whose load the plan does not show: draw the arc or wire as a `load` between torch and work.
"""

from __future__ import annotations

from wiring.design.earth.protective_network import is_process, meets_at_one_metal
from wiring.design.rewiring import led_back
from wiring.findings import Mend, Number
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, nfpa_70
from wiring.wording import does

RULE = Rule(
    slug="work-return-through-earth",
    title="Process current returns through the protective earth",
    signal=Signal.WARNING,
    harm="Protective conductors carry the process current and can burn open; then frames and cards take its voltage.",
    sources=(
        ("iec", Source("IEC 60974-9", "2018", "welding circuit and its return", Standing.FROM_MEMORY)),
        ("na", nfpa_70("250.6, 630.15")),
    ),
)
#: Below this a return is a reference and carries nothing [A] (own choice, far above what a solver rounds).
_NOTHING_A = 1e-3


def check(design: Design) -> Judgements:
    """Every process load that returns through the earth."""
    for found in design.earthing.returns:
        if (
            not is_process(design.machine, found)
            or found.amps < _NOTHING_A
            or meets_at_one_metal(design.machine, found.bond)
        ):
            continue
        source = ", ".join(found.sources)
        yield RULE.finding(
            (found.bond.id, *found.loads, *found.sources),
            f"{does(found.loads, 'returns', 'return')} {found.amps:.3g} A to {source} through the protective earth: "
            f"{found.bond.id} leads into it",
            found.bond.place,
            numbers=(Number("process current", found.amps, "A", f"state {found.state}"),),
            mend=(
                Mend(
                    f"Lead a work conductor of its own from {found.loads[0]} to OUT- of {source}.",
                    led_back(design, found.bond, found.sources[0]),
                ),
            ),
        )
