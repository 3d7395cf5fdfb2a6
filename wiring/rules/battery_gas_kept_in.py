"""A battery on charge stands in a cabinet that keeps its gas in.

Lead and vented nickel cells give off hydrogen while they are charged, valves or not, and a contact in the same cabinet
lights it. The air must be changed: Q = 0.05 n Igas C in m3/h, of n cells and a capacity C in Ah, Igas 1 mA for each Ah
of a valve-regulated lead cell that floats, 5 of a vented one, 8 and 20 while it is boosted. Through openings at the
bottom and at the top, of 28 cm2 each for 1 m3/h, or by a fan that runs whenever the charger does.

Fires on sorting-gate at GB1
    parts.G9={kind: charger, input: 230 V AC, output: 27.4 V DC, rated: 5 A}
    parts.GB1={kind: battery, voltage: 24 V DC, capacity: 7 Ah, chemistry: valve-regulated-lead}
    wires+={wire: 90, from: G9:V+, to: "GB1:+", type: control}
    wires+={wire: 91, from: G9:V-, to: "GB1:-", type: control}
    enclosure.protection=IP66
Quiet
    GB1.at=outside
Not judged
    A battery in a cabinet without `chemistry` or `capacity`, and where the plan does not say how air comes into the
    cabinet (`ventilated`, `fan`, or `gas_outside` of the battery).
Known limits
    The size of openings is not known: they are taken as enough for what 10 cm2 let through. That the fan runs whenever
    the charger does is for the inspection. Cells of lithium give off gas in a fault alone, which is not judged.
"""

from __future__ import annotations

from wiring.design.enclosure.cabinet_temperature import fan_m3_h
from wiring.design.supply.charged_batteries import Charged, charged_batteries
from wiring.findings import Number
from wiring.rulebooks.batteries import air_for_gas
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="battery-gas-kept-in",
    title="Gas of a battery stays in the cabinet",
    signal=Signal.WARNING,
    harm="Hydrogen collects, and the arc of a contact lights it: the cabinet bursts.",
    sources=(
        ("iec", Source("IEC 62485-2", "2010", "7.2", Standing.ONE_SOURCE)),
        ("na", Source("NFPA 70", "2023", "480.10(A)", Standing.FROM_MEMORY)),
    ),
)
#: Opening for each cubic metre an hour, at the inlet and at the outlet [cm2] (IEC 62485-2, 7.3), and what openings of a
#: cabinet are taken for (own choice).
_CM2_PER_M3_H, _OPENINGS_CM2 = 28.0, 10.0
#: Enclosures that keep out a jet, or all dust, have no openings (IEC 60529; NEMA 250, from memory).
_TIGHT = ("type 4", "type 4X", "type 6", "type 6P", "type 13")


def check(design: Design) -> Judgements:
    """Every battery on charge in the cabinet."""
    inside = [one for one in charged_batteries(design) if one.part.data.at in ("cabinet", "door")]
    found = [one for one in inside if not one.data.gas_outside]
    yield from RULE.ask(
        (one.part.name for one in found if one.data.chemistry is None),
        "the kind of its cells: lead gives off hydrogen (`chemistry: valve-regulated-lead`)",
    )
    for one in found:
        if one.data.chemistry is not None and one.capacity_ah is None:
            yield RULE.not_judged((one.part.name,), "its capacity (`capacity: 18 Ah`)", design.place(one.part.name))
        elif one.data.chemistry is not None:
            yield from _air(design, one, one.data.chemistry, one.capacity_ah or 0.0)


def _air(design: Design, one: Charged, chemistry: str, capacity_ah: float) -> Judgements:
    wanted, source = air_for_gas(chemistry, one.cells or 0, capacity_ah, boost=one.is_boosted)
    enclosure = design.plan.enclosure
    openings = enclosure.ventilated if enclosure else None
    given = fan_m3_h(design.machine) or (_OPENINGS_CM2 / _CM2_PER_M3_H if openings else 0.0)
    if wanted <= given * (1 + 1e-9):
        return
    name = one.part.name
    if openings is None and given == 0.0 and not _is_tight(enclosure.protection if enclosure else None):
        missing = "how its gas leaves the cabinet (`ventilated: true`, a `fan`, or `gas_outside: true` of the battery)"
        yield RULE.not_judged((name, *one.chargers), missing, design.place(name))
        return
    words = f"{given:.2g} m3/h" if given else "no openings and no fan"
    opening = f"{wanted * _CM2_PER_M3_H:.2g} cm2"
    yield RULE.finding(
        (name, *one.chargers, "enclosure"),
        f"{name} on charge wants {wanted:.2g} m3/h of air, and its cabinet has {words}",
        design.place(name),
        numbers=(Number("air", given, "m3/h", "cabinet"),),
        limit=Limit(wanted, "m3/h", source, f"{one.cells} cells of {capacity_ah:.3g} Ah, {chemistry}"),
        mend=(
            f"Put {name} into a ventilated place outside the cabinet.",
            "Or lead its gas out, and write `gas_outside: true`.",
            f"Or make openings of {opening} at least at the bottom and at the top.",
        ),
    )


def _is_tight(code: str | None) -> bool:
    if code is None or not code.startswith("IP"):
        return code in _TIGHT
    return code[2] == "6" or code[3] in "56789"
