"""A thermal cut-out opens above what its load bears.

The cut-out is the last to act: whatever keeps the temperature has failed. It opens before the load, or what it heats,
is harmed or catches fire, and so does a thermostat that is there to watch.

Fires on hot-wire at F9
    parts.F9={kind: thermal-cut-out, contacts: {11-12: NC}, protects: E1, opens_at: 260 °C, reset: manual}
    E1.bears=200 °C
Quiet
    F9.opens_at=180 °C
Not judged
    Heaters with a cut-out whose highest temperature the plan does not give, and cut-outs without `opens_at`.
Known limits
    What the heat overshoots after the cut-out has opened, and how far it sits from the hottest place, are not known.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.findings import Mend, Number
from wiring.parts.heating import ThermalCutOut
from wiring.parts.loads import Heater
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="cut-out-too-high",
    title="Cut-out opens above what its load bears",
    signal=Signal.CAUTION,
    harm="When the control sticks, the load burns, or what it heats, before the cut-out opens.",
    sources=(("iec", iec_60204("7.4")), ("na", nfpa_79("7.4"))),
)
_DATA = Source("data of the load", "", "highest temperature", Standing.ONE_SOURCE)


def check(design: Design) -> Judgements:
    """Every cut-out with the heater that it protects."""
    unknown: list[str] = []
    for part in design.parts.values():
        load = design.parts.get(part.data.protects) if isinstance(part.data, ThermalCutOut) else None
        if load is None or not isinstance(part.data, ThermalCutOut) or not isinstance(load.data, Heater):
            continue
        opens_c, bears_c = part.data.opens_at, load.data.bears
        if opens_c is None or bears_c is None:
            unknown.append(part.name if opens_c is None else load.name)
        elif opens_c > bears_c:
            yield RULE.finding(
                (part.name, load.name),
                f"{part.name} opens at {opens_c:.0f} °C, and {load.name} bears {bears_c:.0f} °C",
                design.place(part.name, "opens_at"),
                numbers=(Number("opens at", opens_c, "°C", part.name),),
                limit=Limit(bears_c, "°C", _DATA, load.name),
                mend=(
                    Mend(
                        f"Take a cut-out for {part.name} that opens at {bears_c:.0f} °C at most.",
                        of_part(part.name, "opens_at", f"{bears_c:g} °C"),
                    ),
                ),
            )
    yield from RULE.ask(unknown, "the temperatures (`opens_at` of the cut-out, `bears` of the heater)")
