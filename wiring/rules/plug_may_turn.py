"""What opens one conductor stands behind a plug that fits both ways round.

Behind such a plug nobody knows which conductor is the line. A fuse, breaker or contact in one of the two alone may
stand in the neutral: it opens, everything stops, and all that it feeds stays at line voltage; an earth fault then
passes no device of the machine.

Fires on sorting-gate at F1
    mains.connection=reversible plug
Quiet
    mains.connection=polarised plug
Not judged
    Such a machine that does not say how it is connected.
Known limits
    Contacts behind a transformer or supply do not count: their side of it is what the machine makes it.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.roles import Role
from wiring.design.earth.neutral_pairs import lies_on_role
from wiring.parts.elements import Pole, Switch
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import does, listed

RULE = Rule(
    slug="plug-may-turn",
    title="Devices of one pole behind a plug that turns",
    signal=Signal.CAUTION,
    harm="With the plug turned the device opens the neutral, and what looks dead is live.",
    sources=(("iec", iec_60204("7.2.3")), ("na", nfpa_79("7.2.3"))),
)


def check(design: Design) -> Judgements:
    """All parts that open one of two conductors of a single-phase supply, together."""
    mains = design.plan.mains
    if mains is None or mains.system != "single-phase":
        return
    parts = sorted(_of_one_pole(design))
    place = design.reading.place("mains", "connection")
    if mains.connection is None:
        missing = "how the machine is connected (`mains: {connection: fixed}`, `polarised plug` or `reversible plug`)"
        yield from RULE.ask(parts, missing, place)
    elif mains.connection == "reversible plug" and parts:
        yield RULE.finding(
            parts,
            f"{does(parts, 'opens', 'open')} one conductor of a plug that fits both ways round: it may be the neutral",
            place,
            mend=(
                f"Take devices that open both conductors for {listed(parts)}.",
                "Or a plug that fits one way round, or a fixed connection.",
            ),
        )


def _of_one_pole(design: Design) -> Iterator[str]:
    for part in design.parts.values():
        opens = [element for element in part.elements if isinstance(element, Pole | Switch)]
        found = {
            role for role in (Role.LIVE, Role.NEUTRAL) for one in opens if lies_on_role(design, part.name, one, role)
        }
        if len(found) == 1:
            yield part.name
