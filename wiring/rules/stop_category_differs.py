"""A stop removes the power later, or sooner, than its category says.

Category 0 takes the power away at once. Category 1 keeps it until the machine stands still, for a time that an
undelayed contact does not give (IEC 60204-1, 9.2.2). A drive that loses its supply, its logic or one of its torque-off
inputs at once brakes nothing, whatever else stays. A brake that alone comes late makes no stop of category 1. In
category 2 the drives stay fed, which no emergency stop may leave (IEC 60204-1, 9.2.3.4.2).

Fires on hot-wire at emergency
    stops.emergency.category=1
Quiet
    stops.emergency.category=0
Not judged
    Whether a stop of category 2 stands still; a stop that leaves something fed for ever, told by a rule of its own.
"""

from __future__ import annotations

from wiring.design.stop.category_one import Unable, unable_drives
from wiring.design.stop.records import StopResult
from wiring.findings import Cause, Mend
from wiring.parts.motors import Brake
from wiring.parts.operators import EmergencyStop
from wiring.plan.edits import SetValue
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.wording import does, listed, seconds

RULE = Rule(
    slug="stop-category-differs",
    title="Stop is not of the category that the plan says",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Power stays on for longer than someone counts on, or a heavy axis runs out without being braked.",
    sources=(("iec", iec_60204("9.2.2", Standing.CONFIRMED)), ("na", nfpa_79("9.2.2"))),
)


def check(design: Design) -> Judgements:
    """One finding for each stop whose power goes at another time than its category says, or that has one it may not."""
    yield from _of_category_2(design)
    unable = list(unable_drives(design.stopping, design.operation.reachability))
    for one in unable:
        if one.stays or one.run_down_s is not None:
            yield _unable(design, one)
        else:
            yield from RULE.ask([one.motor, one.stop], "how long it runs on without power (`run_down`)")
    brakes = {part.name for part in design.parts.values() if isinstance(part.data, Brake)}
    proved: dict[str, list[StopResult]] = {}
    for result in design.stopping.by_logic.results.values():
        proved.setdefault(result.use.name, []).append(result)
    for name, results in proved.items():
        sounds, category = [sound for result in results for sound in result.sound], results[0].use.category
        late = tuple(dict.fromkeys(part for sound in sounds for part in sound.late))
        gone = any(sound.running and not sound.left for sound in sounds)
        if category == 0 and late:
            told = f"Stop {name} is of category 0, but {does(late, 'loses its', 'lose their')} power only after a delay"
            mend = ["Take them off an undelayed contact."]
            if not all(name in brakes for name in late):
                mend.append("Is a stop with a delay meant, and safe? Then write category 1 with its delay.")
        elif category == 1 and gone and not late and not any(one.stop == name and one.run_down_s for one in unable):
            told = f"Stop {name} is of category 1, but its power goes at once, before anything could be braked"
            mend = [
                "Feed them through delayed contacts, and let an undelayed one order the stop.",
                "Is a stop at once meant, and safe for every axis? Then write category 0.",
            ]
        else:
            continue
        yield RULE.finding(
            (name, *late),
            told,
            design.reading.place("stops", name, "category"),
            mend=mend,
            rests=tuple(scope("part", part) for part in late) if all(part in brakes for part in late) else None,
        )


def _unable(design: Design, one: Unable) -> Judgement:
    lost = listed([f"{one.drive}:{end}" for end in one.lost])
    why = f"{one.motor} keeps its torque" if one.stays else f"{one.motor} runs on for {seconds(one.run_down_s or 0.0)}"
    return RULE.finding(
        (one.stop, one.drive, one.motor, *one.by),
        f"Stop {one.stop} is of category 1, but {lost} goes at once: {one.drive} cannot brake, and {why}",
        design.place(one.drive),
        because=[Cause(design.place(name), "takes it away") for name in one.by],
        mend=(f"Feed {lost} from ahead of the stop, or from a contact that opens after the delay.",),
    )


def _of_category_2(design: Design) -> Judgements:
    for name, stop in design.plan.stops.items():
        pressed = [one for one in stop.devices if one in design.parts]
        pressed = [one for one in pressed if isinstance(design.parts[one].data, EmergencyStop)]
        if stop.category == 2 and pressed:
            yield RULE.finding(
                (name, *pressed),
                f"Stop {name} is an emergency stop, of category 2: what moves stays fed while it stands",
                design.reading.place("stops", name, "category"),
                signal=Signal.WARNING,
                mend=(
                    Mend("Take the power away at once.", (SetValue(("stops", name, "category"), "0"),)),
                    "Or brake first and take it away then, and write category 1 with its delay.",
                ),
            )
