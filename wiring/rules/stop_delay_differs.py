"""A delay in the way of a stop of category 1 is not that of the stop.

The drive brakes while it still has power; a delay takes the power away afterwards. Where it is shorter than the `delay`
of the stop, the torque goes before the ramp has ended, and the axis runs out; where it is longer, power stays on for
longer than someone counts on (IEC 60204-1, 9.2.2). Of two channels each is judged, as the first takes the power away.

Fires on hot-wire at emergency
    K0.outputs=[33-34]
    K0.delayed=[13-14, 23-24]
    K0.delay=0.1 s
    stops.emergency.category=1
    stops.emergency.delay=2 s
Quiet
    K0.delay=2 s
Not judged
    A stop that does not say its `delay`. Whether that time is enough for the ramp that is set in a drive, beyond what
    its greatest torque, inertia and speed ask at the very least.
"""

from __future__ import annotations

from wiring.design.stop.category_one import Ramp, StopDelay, least_ramps, stop_delays
from wiring.findings import Mend, Number
from wiring.plan.edits import SetValue
from wiring.quantities import show
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="stop-delay-differs",
    title="Delay is not that of the stop",
    signal=Signal.WARNING,
    harm="The torque goes before the axis has been braked, and it runs out; or it is driven for longer than expected.",
    sources=(("iec", iec_60204("9.2.2", Standing.CONFIRMED)), ("na", nfpa_79("9.2.2"))),
)
_MECHANICS = Source("mechanics", "", "t = J w / M", Standing.COMPUTED)
#: A share by which two times count as the same.
_SAME = 1e-3


def check(design: Design) -> Judgements:
    """Every delay of a category 1 stop."""
    unsaid: list[str] = []
    ramps = {ramp.stop: ramp for ramp in sorted(least_ramps(design.stopping), key=lambda ramp: ramp.least_s)}
    for one in stop_delays(design.stopping):
        if one.stop in ramps and one.delay_s < ramps[one.stop].least_s:
            yield _too_short(design, one, ramps[one.stop])
        if one.stated_s is None:
            unsaid.append(one.stop)
        elif abs(one.delay_s - one.stated_s) > _SAME * one.stated_s:
            yield _finding(design, one, one.stated_s)
    yield from RULE.ask(unsaid, "after which time their power goes (`delay: 2 s`)")


def _too_short(design: Design, one: StopDelay, ramp: Ramp) -> Judgement:
    least = show(ramp.least_s, "time")
    return RULE.finding(
        (one.stop, one.part, ramp.motor),
        f"{one.part} takes the power away {show(one.delay_s, 'time')} after stop {one.stop}, and {ramp.motor} needs "
        f"{least} to come to rest by its greatest torque",
        design.place(one.part, one.key),
        numbers=(Number("delay", one.delay_s, "s", one.part),),
        limit=Limit(ramp.least_s, "s", _MECHANICS, f"inertia and highest speed of {ramp.motor}"),
        mend=(f"Set the delay of {one.part}, and the one of stop {one.stop}, to more than {least} and the ramp.",),
    )


def _finding(design: Design, one: StopDelay, stated_s: float) -> Judgement:
    is_short = one.delay_s < stated_s
    end = "before the ramp of the drives may have ended" if is_short else "later than the stop says"
    return RULE.finding(
        (one.stop, one.part),
        f"{one.part} takes the power away {show(one.delay_s, 'time')} after stop {one.stop}, {end}: it says "
        f"{show(stated_s, 'time')}",
        design.place(one.part, one.key),
        signal=Signal.WARNING if is_short else Signal.CAUTION,
        numbers=(Number("delay", one.delay_s, "s", one.part),),
        limit=RULE.limit(design, stated_s, "s", f"`delay` of stop {one.stop}"),
        mend=(
            Mend(
                f"Set the delay of {one.part} to {show(stated_s, 'time')}.",
                (SetValue(("parts", one.part, one.key), show(stated_s, "time")),),
            ),
        ),
    )
