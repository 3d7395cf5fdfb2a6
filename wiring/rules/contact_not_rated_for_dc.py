"""A contact made for alternating current breaks a direct one.

The arc of a direct current does not go out at a zero. A contact needs a DC rating for the voltage that it breaks:
`dc_rated` or a DC category and voltage of a contactor, a `contact_rating` such as `DC-13 2 A 24 V` of a relay. Up to
30 V DC a plain contact does.

Fires on hot-wire at K3
    parts.K3={kind: contactor, poles: 1, rated: 9 A, rated_voltage: 400 V AC, category: AC-3, coil: 24 V DC 3 W,
      suppressor: zener}
    20.to=K3:1
    wires+={wire: 23, from: K3:2, to: E1:1, type: work}
Quiet
    K3.dc_rated=9 A
    K3.rated_voltage=60 V DC
    K3.category=DC-1
Not judged
    Contacts above 30 V DC whose plan gives neither AC nor DC rating.
Known limits
    Poles in series are credited only through the rating that the plan gives for them.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.switching.contact_ratings import dc_marking
from wiring.design.switching.contacts import ContactUse, contact_uses
from wiring.findings import Mend, Number
from wiring.parts.switching import Contactor
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.signals import signal_limit
from wiring.rulebooks.steps import CONTACTOR_A, DC_V, first_at_least
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="contact-not-rated-for-dc",
    title="Contact is not rated for its DC circuit",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="The arc stands until the contact is burnt or welded; then the stop behind it no longer stops.",
    sources=(
        ("iec", Source("IEC 60947-4-1", "2018", "table 7, utilisation categories", Standing.FROM_MEMORY)),
        ("na", Source("UL 60947-4-1", "", "DC ratings are marked apart", Standing.FROM_MEMORY)),
    ),
)
_DANGEROUS_V = tabled("iec", "pelv_dc_max_dry").value


def check(design: Design) -> Judgements:
    """Every contact on DC above what a plain one breaks; told once a part."""
    plain = signal_limit("plain_contact_dc_max")
    told: set[str] = set()
    silent: set[str] = set()
    for use in contact_uses(design.machine, design.operation):
        level = use.level
        if level is None or level.kind != "DC" or level.volts <= plain.value or use.path.part in told:
            continue
        volts, says = dc_marking(design.parts[use.path.part].data)
        if says == "ac" or (says == "dc" and volts is not None and volts < level.volts):
            told.add(use.path.part)
            yield _finding(design, use, volts, plain)
        elif not says:
            silent.add(use.path.part)
    yield from RULE.ask(
        silent, "the direct voltage their contacts break (`rated_voltage: 60 V DC` or a `contact_rating`)"
    )


def _rated(design: Design, name: str, use: ContactUse) -> Mend:
    assert use.level is not None
    volts = first_at_least(DC_V, use.level.volts) or use.level.volts
    words = f"Take a device for {name} that its maker rates for {volts:g} V DC, poles in series if need be."
    data = design.parts[name].data
    if isinstance(data, Contactor):
        step = first_at_least(CONTACTOR_A, max(use.amps, 1.0)) or use.amps
        edits = (*of_part(name, "rated_voltage", f"{volts:g} V DC"), *of_part(name, "dc_rated", f"{step:g} A"))
        category = of_part(name, "category", "DC-1") if data.category and not use.motor else ()
        return Mend(words, (*edits, *category))
    step = first_at_least((1.0, 2.0, 6.0, 10.0), use.amps) or use.amps
    keys = type(data).model_fields
    rating = of_part(name, "contact_rating", f"DC-13 {step:g} A {volts:g} V") if "contact_rating" in keys else ()
    return Mend(words, rating)


def _finding(design: Design, use: ContactUse, volts: float | None, plain: Limit) -> Judgement:
    assert use.level is not None
    name = use.path.part
    marked = f"marked for {volts:.3g} V DC" if volts is not None else "marked for alternating current only"
    key = "rated_voltage" if getattr(design.parts[name].data, "rated_voltage", None) else "contact_rating"
    return RULE.finding(
        (name,),
        f"Contact {use.path.id} is {marked} and breaks {use.amps:.3g} A at {use.level.volts:.3g} V DC",
        design.place(name, key),
        signal=Signal.WARNING if use.level.volts > _DANGEROUS_V else RULE.signal,
        numbers=(
            Number("circuit", use.level.volts, "V", f"DC, by {use.level.source}"),
            Number("current", use.amps, "A"),
        ),
        limit=Limit(volts, "V", plain.source) if volts is not None else plain,
        mend=(_rated(design, name, use), "Or switch the alternating side of the supply."),
        holds=scope("part", name) | scope("contact", name),
    )
