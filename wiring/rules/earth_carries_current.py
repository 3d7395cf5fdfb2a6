"""The protective earth carries the working current of a load.

A load whose return leads into the protective earth instead of its own rail sends its current through earth bars,
protective conductors and frames; so does one on a line of the mains that returns to the earthed 0 V of a supply, and a
source, a battery or its charger, whose minus does. The current is solved in
every state. Where no pole of the source is earthed, as in an IT system, nothing flows until another part of it touches
earth, and then it flows in the frames. The return of a process source has a rule of its own,
`work-return-through-earth`.

Fires on sorting-gate at 12
    12.to=XPE:9
Quiet
    12.to=X2:4
Not judged
    Currents that flow through metal which the plan does not show.
Known limits
    A rail that is earthed twice divides its current too; `rail-bonded-twice` tells that at its cause.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.earth.protective_network import (
    EarthReturn,
    SourceReturn,
    StrayReturn,
    is_process,
    meets_at_one_metal,
    unearthed,
)
from wiring.design.nets import far_from_earth
from wiring.design.rewiring import led_back
from wiring.findings import Mend, Number
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_70
from wiring.wording import does, listed

RULE = Rule(
    slug="earth-carries-current",
    title="Protective earth carries working current",
    signal=Signal.WARNING,
    gravest=Signal.DANGER,
    harm="When the protective conductor opens, the metal it held takes the voltage of the load; until then it heats.",
    sources=(("iec", iec_60204("8.2.1")), ("na", nfpa_70("250.6"))),
)


def check(design: Design) -> Judgements:
    """Every load that returns through the earth with more than the current that leakage may reach."""
    least = design.book.limit("leakage_extra_measures_above")
    for one in design.earthing.source_returns:
        if isinstance(least, Limit) and one.amps * 1000.0 > least.value:
            yield _of_source(design, one, least)
    for stray in design.earthing.stray_returns:
        if isinstance(least, Limit) and stray.amps * 1000.0 > least.value:
            yield _strayed(design, stray, least)
    for found in design.earthing.returns:
        if is_process(design.machine, found) or meets_at_one_metal(design.machine, found.bond):
            continue
        if unearthed(design.machine, found):
            yield _waiting(design, found)
            continue
        if isinstance(least, NotTabled) or found.amps * 1000.0 <= least.value:
            continue
        mains = any(name in {node[0] for node in design.earthing.inlets} for name in found.sources)
        sources = ", ".join(found.sources)
        yield RULE.finding(
            (found.bond.id, *found.loads),
            f"{does(found.loads, 'returns', 'return')} {found.amps:.3g} A to {sources} through the protective earth, "
            f"by {found.bond.id}",
            found.bond.place,
            signal=Signal.DANGER if mains else Signal.WARNING,
            numbers=(Number("current in the earth", found.amps, "A", f"state {found.state}"),),
            limit=least,
            mend=(
                Mend(
                    f"Lead {found.bond.id} to the return of {sources} instead of the protective earth.",
                    led_back(design, found.bond, found.sources[0]),
                ),
            ),
        )


def _strayed(design: Design, found: StrayReturn, least: Limit) -> Judgement:
    end = next(end for end in found.lead.ends if end[0] != found.load or found.lead.a[0] == found.lead.b[0])
    return RULE.finding(
        (found.load, found.lead.id),
        f"{found.load} hangs on a line of the mains and returns {found.amps:.3g} A to the rail of {found.rail} at "
        f"{named(end)}, and from there through the protective earth",
        found.lead.place,
        signal=Signal.DANGER,
        numbers=(Number("current in the earth", found.amps, "A", f"state {found.state}"),),
        limit=least,
        mend=(f"Lead {found.lead.id} to the neutral that belongs to the line of {found.load}.",),
    )


def _of_source(design: Design, found: SourceReturn, least: Limit) -> Judgement:
    through = listed([found.bond.id, *(other.id for other in found.others)])
    rail = named(far_from_earth(design.circuit, found.others[0])) if found.others else "its loads"
    return RULE.finding(
        (found.bond.id, found.source, *(other.id for other in found.others)),
        f"{found.amps:.3g} A come back to {found.source} through the protective earth, by {through}, in state "
        f"{found.state}",
        found.bond.place,
        numbers=(Number("current in the earth", found.amps, "A", f"state {found.state}"),),
        limit=least,
        mend=(
            f"Lead {found.bond.id} from {found.source} to the return at {rail}, which alone is bonded to the earth.",
        ),
        holds=scope("part", found.source, *found.loads) | scope("conductor", *(other.id for other in found.others)),
    )


def _waiting(design: Design, found: EarthReturn) -> Judgement:
    bond, sources = found.bond, ", ".join(found.sources)
    far = far_from_earth(design.circuit, bond)
    bar = bond.a if far == bond.b else bond.b
    return RULE.finding(
        (bond.id, bar[0], *found.loads),
        f"{bond.id} leads {', '.join(found.loads)} to the protective earth at {named(bar)} in place of a return to "
        f"{sources}: no pole of {sources} is earthed, so it does not work as drawn, and with the first fault to earth "
        "its current flows in the protective conductors",
        bond.place,
        mend=(f"Lead {bond.id} to the other pole of {sources}, and keep {bar[0]} for protective conductors.",),
        holds=scope("part", *found.loads, *found.sources),
    )
