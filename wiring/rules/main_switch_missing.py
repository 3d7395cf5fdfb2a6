"""The machine cannot be cut off from its supply by one switch.

Every live conductor of the incoming supply must pass a device that is opened by hand and locked: a disconnector, or a
circuit-breaker that everything else hangs behind. What stays fed while it is open is told, unless its wires are orange
as both rulebooks mark what must stay live. Up to 16 A a plug may take its place. The neutral of TT and IT is cut too.

Fires on sorting-gate at L2
    L2.from=X0:L
    N2.from=X0:N
Quiet
    L2.from=Q1:2
    N2.from=Q1:4
Not judged
    A machine without a switch whose inlet gives no rating; a disconnector that does not say whether it can be locked.
Known limits
    Handle and height are for the inspection. A load of which one line is cut counts as fed. The 3 kW of a plug are not.
"""

from __future__ import annotations

from wiring.design.edits import of_part, taken_away
from wiring.design.switching.main_switch import (
    contacts_of,
    cuts_all,
    cuts_nothing,
    fed_parts,
    is_main_switch,
    led_behind_switch,
    live_wires,
    neutral_left,
    still_live,
)
from wiring.findings import Mend, Number
from wiring.parts.incoming import Inlet
from wiring.parts.protection import Breaker, Disconnector, MotorProtector
from wiring.plan.site import Mains
from wiring.rulebooks.limits import tabled
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="main-switch-missing",
    title="No switch cuts the machine off from its supply",
    signal=Signal.WARNING,
    harm="Whoever opens the cabinet with the machine switched off reaches into live mains.",
    sources=(("iec", iec_60204("5.3")), ("na", nfpa_79("5.3"))),
)
#: Largest rating of a plug that may serve as the disconnecting device.
PLUG = tabled("iec", "plug_main_switch_max")
#: Kinds besides a disconnector that may serve, when all else hangs behind one of them.
_BREAKERS = (Breaker, MotorProtector)
_ORANGE = "OG"


def check(design: Design) -> Judgements:
    """The incoming supply, once, and the locking of each main switch."""
    mains = design.plan.mains
    inlets = [part for part in design.parts.values() if isinstance(part.data, Inlet)]
    if mains is None or not inlets or not fed_parts(design, still_live(design, frozenset())):
        return
    switches = [part.name for part in design.parts.values() if is_main_switch(part)]
    if switches:
        yield from _bypass(design, switches)
        yield from _neutral_past(design, switches)
        yield from _locking(design, switches)
    elif not any(cuts_all(design, part.name) for part in design.parts.values() if isinstance(part.data, _BREAKERS)):
        yield from _without_switch(design, mains, inlets[0].name)


def _without_switch(design: Design, mains: Mains, inlet: str) -> Judgements:
    data = design.parts[inlet].data
    assert isinstance(data, Inlet)
    if data.rated is None:
        yield RULE.not_judged(
            (inlet,), "the rating of the inlet (`rated: 16 A`): a plug may serve up to 16 A", design.place(inlet)
        )
    elif data.rated > PLUG.value or mains.system == "three-phase":
        yield RULE.finding(
            (inlet,),
            f"No disconnector stands behind {inlet}, which is rated {data.rated:.3g} A",
            design.place(inlet),
            numbers=(Number("inlet", data.rated, "A", inlet),),
            limit=PLUG,
            mend=(f"Put a lockable disconnector that opens every live conductor right behind {inlet}.",),
        )


def _bypass(design: Design, switches: list[str]) -> Judgements:
    reached = still_live(design, frozenset(switches))
    fed = fed_parts(design, reached)
    if not fed:
        return
    devices = {*switches, *(part.name for part in design.parts.values() if isinstance(part.data, Inlet))}
    plain = [wire for wire in live_wires(design, reached, devices) if wire.colour != _ORANGE]
    if not plain:
        return
    first = min(plain, key=lambda conductor: (not any(end[0] in devices for end in conductor.ends), conductor.id))
    switch = " and ".join(switches)
    yield RULE.finding(
        (first.id, *fed),
        f"{listed(fed)} {'stays' if len(fed) == 1 else 'stay'} live through {first.id} while {switch} is open",
        first.place,
        mend=(
            *_bridge_away(design, switches),
            Mend(f"Connect {first.id} behind {switch}.", led_behind_switch(design, first, switches)),
            "If it must stay live: orange wires, a device of its own, and a sign at the switch.",
        ),
    )


def _neutral_past(design: Design, switches: list[str]) -> Judgements:
    names, first = " and ".join(switches), design.place(switches[0])
    earthing, fed = neutral_left(design, frozenset(switches))
    if fed and earthing is None:
        yield RULE.not_judged(("mains", *switches), "the earthing system (`mains: {earthing: …}`)", first)
    elif fed:
        words = (
            f"The neutral of {listed(fed)} stays joined to the mains with {names} open, and may be live in {earthing}"
        )
        mend = f"Lead the neutral through a pole of {names} as well."
        yield RULE.finding((*switches, *fed), words, first, signal=Signal.CAUTION, mend=(mend,))


def _bridge_away(design: Design, switches: list[str]) -> list[Mend]:
    """A conductor from one side of a main switch to the other."""
    pairs = [{(name, e.a), (name, e.b)} for name in switches for e in contacts_of(design.parts[name])]
    found = [wire for wire in design.circuit.conductors if set(wire.ends) in pairs]
    words = f"Take {', '.join(wire.id for wire in found)} away from across {' and '.join(switches)}."
    return [Mend(words, taken_away(design, found))] if found else []


def _locking(design: Design, switches: list[str]) -> Judgements:
    for name in switches:
        data = design.parts[name].data
        if not isinstance(data, Disconnector):
            continue  # a plug that is pulled out of its inlet locks as well
        if data.lockable or cuts_nothing(design, name):
            continue
        if "lockable" not in data.model_fields_set:
            yield RULE.not_judged((name,), "whether it can be locked in its off position (`lockable: true`)")
            continue
        yield RULE.finding(
            (name,),
            f"{name} cannot be locked in its off position",
            design.place(name, "lockable"),
            signal=Signal.CAUTION,
            mend=(
                Mend(f"Take a disconnector for {name} that a padlock holds open.", of_part(name, "lockable", "true")),
            ),
        )
