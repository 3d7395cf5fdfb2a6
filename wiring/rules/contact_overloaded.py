"""A contact, a row of terminals, a plug, a diode, the inlet or a mains filter carries more than it may.

The current is solved in every state and compared with the rating. A contactor counts by `rated`, on DC by `dc_rated`;
one that switches a motor must be made for the rated current of that, whatever it works. A relay, a safety relay or a
switch counts by the lower of `rated` and, when it switches a coil, its `contact_rating`. A contactor of category AC-1
or DC-1 that switches a motor is told too: starting and breaking a motor asks for AC-3 or DC-3. The inlet, a filter and
a diode count by what all conductors at one of their poles carry together. An inlet or plug, a filter, terminals, a main
or battery switch and a residual current device must bear what the devices ahead of them, or all behind them together,
let pass; in IEC an inlet with a plug may stand in a circuit of 16 A whatever it is rated. A main switch must break its
load with the largest motor stalled, where the plan says what it breaks.

Fires on sorting-gate at K1
    K1.contact_rating=DC-13 0.1 A 24 V
Quiet
    K1.contact_rating=DC-13 1 A 24 V
Not judged
    Contacts and diodes above 1 A, terminals, inlets and filters above 10 A, whose plan gives no rated current.
"""

from __future__ import annotations

from math import inf

from wiring.circuit.model import named
from wiring.design.switching.contact_ratings import (
    asked_of_contact,
    brought_current,
    contact_limit,
    current_to_break,
    let_through,
    most_at_pole,
)
from wiring.design.switching.contacts import ContactUse, contact_steps, contact_uses
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.parts.incoming import Filter, Inlet
from wiring.parts.passive import Connector, Diode, Terminals
from wiring.parts.protection import Disconnector, ResidualCurrentDevice
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.contacts import category_for
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.steps import first_at_least, rated_current, rounded_up
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="contact-overloaded",
    title="Contact or terminal carries more than it may",
    signal=Signal.CAUTION,
    harm="Contacts weld or burn: what they should switch off stays on. Overloaded terminals char.",
    sources=(("iec", iec_60204("4.2.1")), ("na", nfpa_79("4.2"))),
)
#: Below these a missing rating is not asked for [A]: every contact and terminal carries so much.
_ANY_CONTACT_A, _ANY_TERMINAL_A = (tabled("common", name).value for name in ("any_contact", "any_terminal"))
_BREAKING = {
    "iec": iec_60204("5.3.3, largest motor stalled"),
    "na": nfpa_79("5.3.3, locked rotor of the largest motor"),
}
_RESISTIVE = (category_for("resistive", dc=False), category_for("resistive", dc=True))
#: Appliance couplers of 10 A stand in circuits of 16 A: IEC 60320-1 (from memory).
_COUPLED_A = 16.0


def check(design: Design) -> Judgements:
    """Every contact, then rows of terminals and plugs; each part once."""
    told, silent = set[str](), set[str]()
    for use in contact_uses(design.machine, design.operation):
        name, limit = use.path.part, contact_limit(design, use)
        if name in told:
            continue
        if limit is not None and asked_of_contact(design, use) > limit.value * (1 + 1e-6):
            told.add(name)
            yield _overload(design, use, limit)
        elif use.motor and getattr(design.parts[name].data, "category", "") in _RESISTIVE:
            told.add(name)
            yield _category(design, use)
        elif limit is None and use.amps > _ANY_CONTACT_A:
            silent.add(name)
    for part in design.parts.values():
        if isinstance(part.data, Terminals | Connector | Inlet | Filter | Diode):
            yield from _passed(design, part, part.data.rated, silent)
        elif isinstance(part.data, Disconnector) and part.data.breaking is not None and part.name not in told:
            yield from _interrupted(design, part, part.data.breaking)
        passing = Inlet | Filter | Connector | Terminals | Disconnector | ResidualCurrentDevice
        if isinstance(part.data, passing) and part.name not in told:
            yield from _unguarded(design, part)
    yield from RULE.ask(silent, "their rated current (`rated: 10 A`)")


def _interrupted(design: Design, part: Part, breaking_a: float) -> Judgements:
    """A main switch that cannot break its load while the largest motor stands still."""
    amps, state, total, motor = current_to_break(design, part)
    if total > breaking_a * (1 + 1e-6):
        stalled = " while a motor is stalled" if motor else ""
        yield RULE.finding(
            (part.name,),
            f"{part.name} can break {breaking_a:.3g} A, and {total:.3g} A flow through it{stalled}",
            design.place(part.name, "breaking"),
            numbers=(Number("current", amps, "A", f"state {state}"), Number("to break", total, "A", part.name)),
            limit=Limit(breaking_a, "A", _BREAKING[design.plan.rulebook]),
            mend=(f"Take a main switch for {part.name} that breaks {rounded_up(total):.3g} A or more.",),
        )


def _unguarded(design: Design, part: Part) -> Judgements:
    """A switch, inlet, filter, row of terminals or residual current device that neither what stands ahead nor all that
    stands behind keeps within its rating."""
    rated = getattr(part.data, "rated", None)
    if rated is None:
        return
    bears = max(rated, _coupled_a(design, part)) * (1 + 1e-6)
    passes = let_through(design, part, bears)
    if passes is not None and passes > bears:
        yield RULE.finding(
            (part.name,),
            f"{part.name} is rated {rated:.3g} A, and the devices ahead of it and behind it let {passes:.3g} A pass",
            design.place(part.name, "rated"),
            numbers=(Number("may pass", passes, "A", part.name),),
            limit=RULE.limit(design, rated, "A"),
            mend=(f"Take {part.kind} {part.name} rated {passes:.3g} A or more, or a smaller device ahead.",),
        )


def _coupled_a(design: Design, part: Part) -> float:
    """The circuit [A] in which an inlet may stand whatever it is rated."""
    mains = design.plan.mains
    plugged = isinstance(part.data, Inlet) and mains is not None and mains.connection not in (None, "fixed")
    return 0.0 if not plugged else _COUPLED_A if design.plan.rulebook == "iec" else inf


def requirements(design: Design) -> Requirements:
    """Every contact whose limit is its rated current."""
    for use in contact_uses(design.machine, design.operation):
        limit = contact_limit(design, use)
        if limit is not None and getattr(design.parts[use.path.part].data, "rated", None) == limit.value:
            yield _required(design, use)


def _required(design: Design, use: ContactUse) -> Requirement:
    asked = asked_of_contact(design, use)
    why = f"{use.amps:.3g} A in state {use.state}" if asked == use.amps else f"{use.motor} has {asked:.3g} A"
    return Requirement(RULE.slug, use.path.part, Quantity.RATING, asked, why=why)


def _overload(design: Design, use: ContactUse, limit: Limit) -> Judgement:
    what = " of a coil" if use.inductive else ""
    asked = asked_of_contact(design, use)
    least = first_at_least(contact_steps(design.parts[use.path.part]), asked) or rated_current(asked)
    words = f"Take a device for {use.path.part} rated {least:.3g} A or more for this load, or put one behind it."
    return RULE.finding(
        (use.path.part,),
        f"Contact {use.path.id} carries {use.amps:.3g} A{what} and may carry {limit.value:.3g} A"
        if use.amps > limit.value
        else f"{use.path.part} is rated {limit.value:.3g} A, and {use.motor}, which it switches, {asked:.3g} A",
        design.place(use.path.part),
        numbers=(Number("current", use.amps, "A", f"state {use.state}"),),
        limit=limit,
        mend=(Mend(words, asks=(_required(design, use),)),),
    )


def _category(design: Design, use: ContactUse) -> Judgement:
    wanted = category_for("motor", use.level is not None and use.level.kind == "DC")
    category = getattr(design.parts[use.path.part].data, "category", "")
    return RULE.finding(
        (use.path.part, use.motor),
        f"{use.path.part} is of category {category}, for resistive loads, and switches the motor {use.motor}",
        design.place(use.path.part, "category"),
        numbers=(Number("current", use.amps, "A", f"state {use.state}"),),
        mend=(f"Take a contactor whose {wanted} rating covers the rated current of {use.motor}.",),
    )


def _passed(design: Design, part: Part, rated: float | None, silent: set[str]) -> Judgements:
    """A row of terminals or a plug by what one conductor brings, the inlet and a filter by what all at a pole carry."""
    if isinstance(part.data, Terminals | Connector):
        amps, conductor = brought_current(design, part)
        names, where = [part.name, conductor], f"conductor {conductor}"
        seen = f"; conductor {conductor} brings {amps:.3g} A"
        mend = f"Take terminals rated {rated_current(amps):.3g} A or more for {part.name}."
    else:
        (amps, state), node = most_at_pole(design, part)
        names, where = [part.name], f"state {state}"
        seen = f" and carries {amps:.3g} A at {named(node)}"
        mend = f"Take {part.kind} {part.name} rated {rated_current(amps):.3g} A or more."
    if rated is None:
        silent |= {part.name} if amps > (_ANY_CONTACT_A if isinstance(part.data, Diode) else _ANY_TERMINAL_A) else set()
    elif amps > rated * (1 + 1e-6):
        yield RULE.finding(
            names,
            f"{part.name} is rated {rated:.3g} A{seen}",
            design.place(part.name, "rated"),
            numbers=(Number("current", amps, "A", where),),
            limit=RULE.limit(design, rated, "A"),
            mend=(mend,),
        )
