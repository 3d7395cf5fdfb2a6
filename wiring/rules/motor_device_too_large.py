"""The fuse or breaker in front of a motor is larger than the North American book allows.

A motor draws many times its current when it starts, so its short-circuit device is larger than its conductors carry;
how much larger is tabled: of the full-load current 300 % for a fuse, 175 % for one with time delay (`time_delay: true`;
class CC counts as one without), 250 % for a breaker, and the next standard rating.
One device in front of several motors is limited by the smallest conductor behind it. The overload device does the rest.
The IEC book leaves this to the coordination that the maker of the contactor prints.

Fires on fan-heater at F1
    F1.rating=25 A
Quiet
    F1.rating=20 A
Not judged
    A motor whose full-load current is neither tabled nor given; several motors behind one device with conductors of a
    size that is not tabled.
Known limits
    The exceptions for a motor that will not start are not used.
"""

from __future__ import annotations

from wiring.design.motor.protection import branch_limits
from wiring.findings import Cause, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.overcurrent import standard_at_or_below
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, nfpa_70
from wiring.wording import listed

RULE = Rule(
    slug="motor-device-too-large",
    title="Short-circuit device of a motor is too large",
    signal=Signal.WARNING,
    harm="A short circuit in the motor feeds the fire for longer than its contactor and conductors bear.",
    sources=(("na", nfpa_70("table 430.52(C)(1)", Standing.CONFIRMED)),),
)


def check(design: Design) -> Judgements:
    """Every fuse and breaker that is the nearest one in front of a motor without a drive."""
    for device, motors, limit in branch_limits(design):
        if isinstance(limit, NotTabled):
            yield RULE.not_judged((device, *motors), limit.reason, design.place(device))
        elif design.short_circuits.known[device].rating_a > limit.value * (1.0 + 1e-9):
            yield _finding(design, device, motors, limit)


def requirements(design: Design) -> Requirements:
    """The same devices."""
    for device, motors, limit in branch_limits(design):
        if isinstance(limit, Limit):
            yield _required(device, motors, limit)


def _required(device: str, motors: tuple[str, ...], limit: Limit) -> Requirement:
    return Requirement(RULE.slug, device, Quantity.RATING, most=limit.value, why=f"in front of {listed(motors)}")


def _finding(design: Design, device: str, motors: tuple[str, ...], limit: Limit) -> Judgement:
    rating_a = design.short_circuits.known[device].rating_a
    kind = design.short_circuits.known[device].family
    fitting = standard_at_or_below("na", kind, limit.value)
    best = fitting.value if isinstance(fitting, Limit) else limit.value
    return RULE.finding(
        (device, *motors),
        f"{device} of {rating_a:.3g} A stands in front of {listed(motors)}, where {limit.value:.3g} A is the most",
        design.place(device, "rating"),
        because=[Cause(design.place(name), "is behind it") for name in motors[:3]],
        numbers=(Number("device", rating_a, "A", device),),
        limit=limit,
        mend=(
            Mend(f"Take {best:.3g} A or less for {device}.", asks=(_required(device, motors, limit),)),
            *((f"Or give {listed(motors)} a device each.",) if len(motors) > 1 else ()),
        ),
    )
