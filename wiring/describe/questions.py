"""What a description leaves out: what has no safe default stands as an open question at the head of the plan."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.describe.axes import hangs_on_rail, with_likes
from wiring.describe.build import own_model
from wiring.describe.description import USUAL_AMBIENT, Description, usual_cabinet
from wiring.describe.drives import leaks_unseen
from wiring.describe.loads import made_for
from wiring.describe.mains import on_one_line
from wiring.parts.motors import ServoMotor
from wiring.wording import listed


def questions(description: Description) -> Iterator[str]:
    """Each open question in one sentence, with what hangs on it: the verdict of the plan waits for every one."""
    mains = description.mains
    if mains.fault_current is None:
        yield "the fault current at the inlet (mains.fault_current): whether the devices break it."
    if mains.earthing is None:
        yield "the earthing of the building (mains.earthing): whether a device opens in an earth fault."
    if mains.earthing == "TT" and mains.electrode is None:
        yield "the resistance of the earth electrode (mains.electrode): what voltage metal takes on in an earth fault."
    if mains.upstream is None:
        yield "the device of the building in front (mains.upstream): it guards the incoming conductors."
    feed = mains.feed
    if feed is not None and (feed.grouped_with is None or (description.rulebook == "iec" and feed.method is None)):
        yield "how the feed is laid (mains.feed: method, grouped_with): in company and in insulation it bears less."
    if mains.rcd is None and description.rulebook == "iec" and _has_converter(description):
        yield "the residual current device of the building (mains.rcd, or rcd: none): a drive may need type B."


def unsaid(description: Description) -> Iterator[str]:
    """What is left out and waits for nothing: what is taken in its place, or that the rules ask where it matters."""
    mains = description.mains
    if mains.connection is None:
        yield "plug or hard-wired (mains.connection): the check asks where it decides what leaks or may be touched."
    halves = [name for name, load in description.loads.items() if on_one_line(made_for(load), mains)]
    if halves:
        yield f"that the feed leads a neutral (mains.system): {listed(halves)} hang between it and one line."
    if mains.shared is None:
        yield "whether other loads hang on the same circuit (mains.shared): they would take their share of it."
    if description.site.ambient is None:
        least = "for which equipment of machines is made (4.4.3 of the standard)"
        yield f"the highest air temperature around the cabinet (site.ambient): {USUAL_AMBIENT} is taken, {least}."
    if not description.cabinet.bought:
        usual = usual_cabinet(description.rulebook, description.site.exposed_to).items()
        taken = [f"{key}: {word}" for key, word in usual if getattr(description.cabinet, key) is None]
        if taken:
            kept = (
                "by which it cools and keeps out hands, dust and drips; say more where it is hosed or stands outdoors"
            )
            yield f"what the cabinet is (cabinet): {', '.join(taken)} is taken, {kept}."
    if len(description.axes) + len(description.loads) > 1 and not description.runs:
        yield "what works at the same time (runs): everything is taken to, which only costs supply and copper."
    drives = {name: one.drive for some in (description.axes, description.loads) for name, one in some.items()}
    silent = [name for name, words in drives.items() if leaks_unseen(description, words)]
    if silent:
        more = "more than 10 mA is taken, which asks most of its protective conductors"
        yield f"what the drive of {listed(silent)} leaks (`leakage` on its label): {more}."
    for name, axis in description.axes.items():
        if axis.like is None and axis.mass is None and axis.inertia is None:
            yield f"the moved mass or inertia of {name}: the check asks where braking feeds back too much."


def _has_converter(description: Description) -> bool:
    """Whether an inverter or the drive of a servo motor hangs on the mains."""
    motors = [own_model(axis.motor) for axis in with_likes(description.axes).values() if axis.motor is not None]
    drives = any(isinstance(motor, ServoMotor) and not hangs_on_rail(motor) for motor in motors)
    return drives or any(load.sort == "inverter" for load in description.loads.values())
