"""A charger does not suit its battery, or what stands on the rail with both.

Cells bear a charging current in proportion to their capacity, and for ever a voltage within narrow bounds: above it
they gas, dry out and swell, below it they are never full and sulphate. At the end of a charge the whole rail stands at
the voltage of the charger. What lives on a battery bears 115 % of its rated voltage (IEC 60204-1, 4.3.3).

Fires on sorting-gate at GB1
    parts.G9={kind: charger, input: 230 V AC, output: 27.4 V DC, rated: 5 A}
    parts.GB1={kind: battery, voltage: 24 V DC, capacity: 7 Ah, chemistry: valve-regulated-lead}
    wires+={wire: 90, from: G9:V+, to: "GB1:+", type: control}
    wires+={wire: 91, from: G9:V-, to: "GB1:-", type: control}
Quiet
    GB1.capacity=20 Ah
Not judged
    Batteries on a charger without `chemistry`, `capacity` or `charge_current`; without the last, what no battery of
    their kind bears is told all the same.
Known limits
    The bounds of a cell are those of its kind at 20 to 25 °C, by makers' practice: the battery's data sheet decides.
    Neither the heat of its place nor a charger that follows it is known. A charger counts whole, though loads take a
    part of it, because they may be off.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.supply.charged_batteries import Charged, charged_batteries, overcharged_parts
from wiring.findings import Mend, Number
from wiring.rulebooks.batteries import charging
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, trade_practice
from wiring.wording import listed

RULE = Rule(
    slug="battery-charged-wrongly",
    title="Charger does not suit its battery",
    signal=Signal.CAUTION,
    harm="The battery swells, dries out or bursts, or is empty when it is needed; coils and electronics on it burn.",
    sources=(("both", trade_practice("bounds of the makers of batteries")),),
)
#: Of the voltage of a battery, for a charger whose rail bears 115 % of it (own choice).
_JUST_BELOW = 1.14
_DATA = Source("data of the battery", "", "charging current", Standing.ONE_SOURCE)


def check(design: Design) -> Judgements:
    """Every battery with its chargers."""
    found = list(charged_batteries(design))
    for one in found:
        yield from _voltage(design, one)
        yield from _current(design, one)
        yield from _rail(design, one)
    silent = (one.part.name for one in found if one.data.chemistry is None)
    yield from RULE.ask(silent, "the kind of its cells (`chemistry: valve-regulated-lead`)")
    yield from RULE.ask((one.part.name for one in found if one.capacity_ah is None), "its capacity (`capacity: 18 Ah`)")


def _voltage(design: Design, one: Charged) -> Judgements:
    """The voltage of each cell: for ever, and at the end of a charge."""
    if one.data.chemistry is None or not one.cells:
        return
    bears = charging(one.data.chemistry)
    low, high, boost = (limit.value * one.cells for limit in (bears.least, bears.most, bears.boost))
    ever, ends = "holds {} for ever", "charges up to {}"
    rows = (
        (one.lasting_v > high * (1 + 1e-9), ever, one.lasting_v, bears.most, f"bear {high:.3g} V"),
        (one.lasting_v < low * (1 - 1e-9), ever, one.lasting_v, bears.least, f"are never full below {low:.3g} V"),
        (one.highest_v > boost * (1 + 1e-9), ends, one.highest_v, bears.boost, f"bear {boost:.3g} V"),
    )
    charger, name = one.chargers[0], one.part.name
    for _, does, volts, limit, bear in (row for row in rows if row[0]):
        each = volts / one.cells
        yield RULE.finding(
            (name, *one.chargers),
            f"{listed(one.chargers)} {does.format(f'{volts:.3g} V')}, {each:.3g} V a cell; {one.cells} cells of {name} "
            f"{bear}",
            design.place(charger, "output"),
            numbers=(Number("a cell", each, "V", charger),),
            limit=limit,
            mend=(
                f"Set {charger} as the data sheet of {name} asks; such cells float between {low:.3g} and {high:.3g} V.",
            ),
        )
        return


def _current(design: Design, one: Charged) -> Judgements:
    """The charging current, against the data of the battery or what cells of its kind bear."""
    name, given = one.part.name, one.data.charge_current
    if one.data.chemistry is None or one.capacity_ah is None:
        return
    bears = charging(one.data.chemistry)
    most_a = bears.highest.value * one.capacity_ah if given is None else given
    if one.amps <= most_a * (1 + 1e-6):
        if given is None:
            missing = f"the current that it may be charged with: {one.amps:.3g} A come (`charge_current: 5 A`)"
            yield RULE.not_judged((name,), missing, design.place(name))
        return
    note = "charging current of its data" if given else f"{bears.highest.value:g} A for each Ah, {one.data.chemistry}"
    yield RULE.finding(
        (name, *one.chargers),
        f"{listed(one.chargers)} may give {one.amps:.3g} A into {name} of {one.capacity_ah:.3g} Ah, which bears "
        f"{most_a:.3g} A",
        design.place(name, "capacity"),
        numbers=(Number("charge", one.amps, "A", listed(one.chargers)),),
        limit=Limit(most_a, "A", _DATA if given else bears.highest.source, note),
        mend=(
            f"Take a charger of {most_a:.3g} A at most, or a larger battery.",
            f"Does the data sheet of {name} allow more? Then write its `charge_current`.",
        ),
    )


def _rail(design: Design, one: Charged) -> Judgements:
    """What stands on the rail with the battery."""
    share = tabled(design.plan.rulebook, "battery_voltage_max")
    parts = overcharged_parts(design, one, share.value)
    if not parts:
        return
    nominal_v = one.data.voltage.volts
    bears_v, set_v = nominal_v * share.value, nominal_v * _JUST_BELOW
    yield RULE.finding(
        (*one.chargers, *parts),
        f"{listed(one.chargers)} brings the rail of {one.part.name} to {one.highest_v:.3g} V, too high for "
        f"{listed(parts)}",
        design.place(one.chargers[0], "output"),
        numbers=(Number("rail", one.highest_v, "V", listed(one.chargers)),),
        limit=Limit(bears_v, "V", share.source, f"{share.value:g} x {nominal_v:g} V of the battery"),
        mend=(
            Mend(
                f"Set {one.chargers[0]} to {set_v:.3g} V, or what the battery's data ask for.",
                of_part(one.chargers[0], "output", f"{set_v:.3g} V DC"),
            )
            if one.highest_v == one.lasting_v
            else f"Leave out the boost of {one.chargers[0]}, or take it while the rail is parted.",
            f"Or take parts for {listed(parts)} that bear {one.highest_v:.3g} V.",
        ),
    )
