"""Mains wires lead to a metal door that the plan does not bond.

A door hangs on hinges, which are no protective conductor. Where equipment at mains voltage is mounted on a metal door,
a strap or conductor of its own bonds it. The door is known to the plan as a part of its own: metalwork `at: door`, and
whether that is earthed is told by `earth-missing`.

Fires on sorting-gate at Q1
    Q1.at=door
Quiet
    parts.DR={kind: metalwork, at: door}
Not judged
    Whether a door of a cabinet without a `material` is metal.
Known limits
    Equipment at a protective extra-low voltage on the door asks for no strap. An operator may be all-insulated.
"""

from __future__ import annotations

from wiring.circuit.roles import Role
from wiring.findings import Mend
from wiring.parts.passive import Metalwork
from wiring.rules.rule import Design, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.wording import natural

RULE = Rule(
    slug="door-without-strap",
    title="Metal door with mains equipment is not bonded",
    signal=Signal.WARNING,
    harm="A live wire that comes loose at the door makes the door live, and no device opens.",
    sources=(("iec", iec_60204("8.2.3", Standing.FROM_MEMORY)), ("na", nfpa_79("8.2.3"))),
)


def check(design: Design) -> Judgements:
    """The door, once, with all parts on it that mains wires lead to."""
    on_door = {name for name, part in design.parts.items() if part.data.at == "door"}
    if not on_door or any(isinstance(design.parts[name].data, Metalwork) for name in on_door):
        return
    fed = sorted(
        {
            end[0]
            for conductor in design.circuit.conductors
            if design.roles.of_conductor(conductor) in (Role.LIVE, Role.NEUTRAL)
            for end in conductor.ends
            if end[0] in on_door
        },
        key=natural,
    )
    material = design.plan.enclosure.material if design.plan.enclosure else None
    if fed and material is None:
        yield from RULE.ask(fed, "what the cabinet is made of (`enclosure: {material: painted-steel}`)")
    elif fed and material != "plastic":
        words = "Add the door and its strap: `DR: {kind: metalwork, at: door}` and a wire from it to the earth bar."
        yield RULE.finding(
            fed,
            f"Mains wires lead to {', '.join(fed)} on a metal door, and the plan has no strap to it",
            design.place(fed[0], "at"),
            mend=(Mend(words),),
        )
