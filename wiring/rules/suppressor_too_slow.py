"""A plain diode delays a coil that must let go fast.

The current of a coil dies slowly in a plain diode: contacts open three to five times later. The brake of a vertical
axis drops its load by that time. For contactors that a stop opens, the delay is told as a NOTICE.

Fires on hot-wire at K1
    K1.suppressor=diode
Quiet
    K1.suppressor=zener
Not judged
    By how much a load falls, when the plan gives no time for the brake to close (`apply`).
Known limits
    The drop is that of a free fall from rest; friction and a counterweight make it less.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.switching.suppressors import dc_coils
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.parts.motors import Brake, Shaft
from wiring.parts.switching import Contactor
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.contacts import release_time
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing
from wiring.wording import does

RULE = Rule(
    slug="suppressor-too-slow",
    title="Suppressor delays a coil that must let go fast",
    signal=Signal.CAUTION,
    harm="What hangs on the coil goes on after the stop: a brake lets its load fall, slow contacts burn and weld.",
    sources=(("both", Source("Trade practice", "", "release time with a plain diode", Standing.CONFIRMED)),),
)
_GRAVITY = 9.81  # m/s2


def check(design: Design) -> Judgements:
    """Brakes of vertical axes one by one; contactors together."""
    slow: list[Part] = []
    for part, _, word in dc_coils(design.machine):
        if word != "diode":
            continue
        if isinstance(part.data, Brake):
            yield from _brake(design, part, part.data)
        elif isinstance(part.data, Contactor):
            slow.append(part)
    if slow:
        names = tuple(part.name for part in slow)
        yield RULE.finding(
            names,
            f"{does(names, 'opens', 'open')} three to five times later behind a plain diode than without",
            design.place(slow[0].name, "suppressor"),
            signal=Signal.NOTICE,
            mend=("Take a varistor, or a diode with a zener, where the stop must be quick.",),
        )


def _brake(design: Design, part: Part, data: Brake) -> Judgements:
    motor = design.parts.get(data.holds)
    if motor is None or not isinstance(motor.data, Shaft) or not motor.data.vertical or motor.data.self_locking:
        return
    if data.apply is None:
        yield RULE.not_judged((part.name,), "the time in which it closes (`apply: 30 ms`)", design.place(part.name))
        return
    late = release_time(data.apply, "diode", safe=True)
    seconds = late.value if isinstance(late, Limit) else data.apply
    source = late.source if isinstance(late, Limit) else None
    drop_mm = 0.5 * _GRAVITY * seconds**2 * 1000.0
    yield RULE.finding(
        (part.name, motor.name),
        f"{part.name} closes up to {seconds * 1000:.3g} ms late behind its plain diode; {motor.name} can fall "
        f"{drop_mm:.3g} mm",
        design.place(part.name, "suppressor"),
        numbers=(
            Number("closes without it", data.apply, "s", part.name),
            Number("closes with it", seconds, "s", "longest published factor", source),
            Number("free fall", drop_mm / 1000.0, "m", motor.name),
        ),
        limit=late if isinstance(late, Limit) else None,
        mend=(
            Mend(
                f"Give {part.name} a zener behind its diode, or a varistor (`suppressor: zener`).",
                of_part(part.name, "suppressor", "zener"),
            ),
        ),
    )
