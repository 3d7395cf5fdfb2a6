"""A control transformer is too small for the coils that close on it.

An AC coil takes five to fifteen times its holding power while its magnet is open. A transformer that bears the sum of
what is held may still fall so far that a contactor does not close: it hums, its coil burns, its contacts chatter under
load. A coil must close at 85 % of its rated voltage. What is left is worked out from the regulation of the transformer,
U = E / (1 + R S / U²), with all that a state feeds beside what closes: the largest coil, or all that one contact or one
safety relay lets in together. All currents are counted as in phase, which leaves the least voltage.

Fires on fan-heater at T1
    K1.pick_up=420 VA
Quiet
    T1.rated=160 VA
Not judged
    A coil without its `pick_up`, where 15 times what it takes while it holds would be too much for its transformer
    (common practice, no source).
Known limits
    What the conductors lose while a coil closes, and what the mains may be below their voltage, is not counted. Coils
    that close together by contacts of different devices are not found together. A transformer without `regulation` is
    taken at 8 %, and asked for it where the most that its standard allows would be too much.
"""

from __future__ import annotations

from wiring.design.supply.pull_in import PullIn, may_be_softer, pull_ins
from wiring.design.supply.supplies import supply_words
from wiring.findings import Cause, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="coil-too-large-for-transformer",
    title="Transformer may not pull its coils in",
    signal=Signal.WARNING,
    harm="The contactor hums half closed: its coil burns, and its contacts chatter under load and weld.",
    sources=(
        ("iec", Source("IEC 60947-4-1", "2018", "8.2.1.2", Standing.FROM_MEMORY)),
        ("na", Source("NEMA ICS 2", "2000", "pick-up at 85 % of the rated voltage", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Judgements:
    """Every control transformer at its lowest, once; what is not said, where it could matter."""
    worst: dict[str, PullIn] = {}
    unsaid: dict[str, None] = {}
    soft = {one.transformer for one in pull_ins(design) if may_be_softer(design, one)}
    yield from RULE.ask(soft, "how far its voltage falls under load (`regulation: 12 %`)")
    for one in pull_ins(design):
        if one.is_too_low and one.unknown:
            unsaid.update(dict.fromkeys(one.unknown))
        elif one.is_too_low and (one.transformer not in worst or _share(one) < _share(worst[one.transformer])):
            worst[one.transformer] = one
    yield from (_finding(design, one) for one in worst.values())
    yield from RULE.ask(unsaid, "the apparent power that its coil takes while it closes (`pick_up: 95 VA`)")


def requirements(design: Design) -> Requirements:
    """The transformers of coils whose power is known."""
    for one in pull_ins(design):
        if not one.unknown:
            why = f"{one.closing_va:.3g} VA close in state {one.state}"
            yield Requirement(RULE.slug, one.transformer, Quantity.RATING, one.needed_va, why=why)


def _share(one: PullIn) -> float:
    return one.volts / one.must_v


def _finding(design: Design, one: PullIn) -> Judgement:
    coils = [magnet.part for magnet in one.magnets]
    words = supply_words(design.parts[one.transformer], one.needed_va)
    ask = Requirement(RULE.slug, one.transformer, Quantity.RATING, one.needed_va)
    larger = [Mend(f"Take a transformer of {words} or more for {one.transformer}.", asks=(ask,))] if words else []
    return RULE.finding(
        (one.transformer, *coils),
        f"{one.transformer} may fall to {one.volts:.3g} V while {listed(coils)} close{'' if len(coils) > 1 else 's'} "
        f"in state {one.state}, below {one.must_v:.3g} V",
        design.place(one.transformer, "rated"),
        because=[Cause(design.place(name, "pick_up"), "takes this while it closes") for name in coils[:3]],
        numbers=(
            Number("closing", one.closing_va, "VA", listed(coils)),
            Number("held", one.held_va, "VA", f"what {one.transformer} feeds beside it in state {one.state}"),
            Number("voltage", one.volts, "V", f"at {one.transformer}, all currents in phase"),
        ),
        limit=RULE.limit(design, one.must_v, "V", "85 % of the rated voltage"),
        mend=(*larger, "Or let the coils close one after the other, or take coils of direct voltage with a supply."),
    )
