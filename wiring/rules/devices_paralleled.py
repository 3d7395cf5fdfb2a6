"""Two protective devices lie in parallel: joined on both their sides, they guard as one of both ratings together.

A comb or a jumper behind two fuses joins their branches. A wire behind them gets the current of both, and neither
branch goes dead when its own fuse is taken out.

Fires on sorting-gate at F2
    wires+={wire: 40, from: F3:2, to: X1:8, type: power}
Quiet
    40=
Not judged
    Poles of one device that are joined on purpose.
Known limits
    Devices of different sources that meet behind diodes or supplies are judged as sources in parallel.
"""

from __future__ import annotations

from wiring.design.device.paralleled import paralleled
from wiring.findings import Cause, Mend
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, nfpa_70
from wiring.wording import does

RULE = Rule(
    slug="devices-paralleled",
    title="Protective devices lie in parallel",
    signal=Signal.CAUTION,
    harm="A wire behind them carries the current of both before one opens, and stays live with its own fuse out.",
    sources=(
        ("iec", Source("IEC 60364-4-43", "2008", "433.4 and 434.4", Standing.FROM_MEMORY)),
        ("na", nfpa_70("240.8")),
    ),
)


def check(design: Design) -> Judgements:
    """Each group of devices that are joined on both sides."""
    for group in paralleled(design):
        yield RULE.finding(
            group.parts,
            f"{does(group.parts, 'is', 'are')} joined ahead and behind, and guard as one of {group.sum_a:.3g} A",
            design.place(group.parts[0]),
            because=tuple(Cause(design.place(name), "lies beside it") for name in group.parts[1:]),
            mend=(Mend(f"Part what joins {' and '.join(group.parts)} behind them."),),
        )
