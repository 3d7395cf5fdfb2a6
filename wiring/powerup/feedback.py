"""The loop of the reset through the mirror contacts of contactors: seen to open with each of them held in, on the dead
machine; then the reset refused, on the live one."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import named
from wiring.parts.switching import Contactor
from wiring.powerup.builder import LEAST_V, METER_LEAST, UNPLUGGED, Builder, named_part
from wiring.powerup.machine import Run
from wiring.powerup.metal_ways import Way
from wiring.powerup.ohms import measure, measure_fixed
from wiring.powerup.operated_stages import all_pairs, moved_by
from wiring.powerup.predict import live_reading
from wiring.powerup.step import Line, Setting, Stage, Who
from wiring.powerup.survey import Pair
from wiring.powerup.transitions import acts_between, needs_dead
from wiring.powerup.wires import LEADS_OHM, LENGTH_SHARE


def loop_opens(to: Builder, contactor: str, at_rest: Sequence[Way]) -> None:
    """The loop through a break contact of a contactor held in: open, as its mirror contact must be."""
    way = next((way for way in at_rest if any(path.startswith(f"{contactor}:") for path in way[2])), None)
    if way is None or not measure_fixed(to.survey.cold, UNPLUGGED, [way[:2]])[0].fixed:
        return
    held = to.survey.held_in(contactor)
    if measure(to.survey.cold, held, [way[:2]])[0] is not None:
        return
    to.ohms(
        Stage.POLARITY,
        held,
        [way[:2]],
        [f"{contactor} held in: {named(way[0])} to {named(way[1])}, through its break contact"],
        "a contact that does not follow, or a conductor past it: a welded pole would stay unseen",
        LENGTH_SHARE,
        LEADS_OHM,
        test="function",
        rows=[("", ", through its break contact")],
    )


class Refusal(Struct, frozen=True):
    """A contactor held in at its test lever, by which a reset is refused: seen at what stays off."""

    held: Setting
    contactor: Pair
    stays_off: Pair | None


def refusals(to: Builder, setting: Setting) -> list[Refusal]:
    """The first contactor whose feedback is read while it is held in, in a position in which the reset comes, and those
    whose mirror contact no line on the dead machine has seen."""
    coils = [pair for pair in all_pairs(to) if pair.is_coil and isinstance(to.design.parts[pair.part].data, Contactor)]
    working = [pair for pair in coils if (pair.part, "coil") in to.run(setting).point.attracted]
    found: list[Refusal] = []
    for pair in working:
        if found and is_seen_cold(to, pair.part):
            continue
        held = replace(setting, moved=setting.moved | {(pair.part, "coil")})
        stuck = to.run(held)
        if not _lasts(stuck, pair):
            others = [other for other in working if other.part != pair.part and not _lasts(stuck, other)]
            found.append(Refusal(held, pair, next(iter(others), None)))
    return found


def refused_with_a_branch(to: Builder) -> bool:
    """The refused reset while a branch is live behind which the machine is made dead in any case, the devices ahead of
    what can hurt still out; whether there is one."""
    power = to.survey.poles(to.survey.power_devices)
    settings = dict.fromkeys(line.setting for line in to.lines if line.stage is Stage.BRANCHES and not line.annex)
    for setting, onward in pairwise(one for one in settings if one):
        found = refusals(to, replace(setting, events=to.survey.start_events)) if power <= setting.opened else []
        if len(found) != 1 or not needs_dead(acts_between(to.survey, setting, onward)):
            continue
        held = replace(setting, moved=found[0].held.moved)
        mine = [line for line in to.lines if line.setting == setting and line.stage is Stage.BRANCHES]
        if _read_alike(to, mine, held):
            before = [replace(line, setting=held) if line in mine else line for line in to.lines]
            at = to.lines.index(mine[-1]) + 1
            to.lines, behind = before[:at], before[at:]
            refused_reset(to, Stage.BRANCHES, found)
            to.lines += behind
            return True
    return False


def _read_alike(to: Builder, lines: Sequence[Line], setting: Setting) -> bool:
    """Whether some lines read in another position what they were told to, within the error of a meter."""
    return all(
        line.expected.value is not None
        and abs(live_reading(to.run(setting), line) - line.expected.value) <= METER_LEAST.get(line.meter, 0.0)
        for line in lines
    )


def refused_reset(to: Builder, stage: Stage, found: Sequence[Refusal]) -> None:
    """The contactor held in by hand, the reset pressed: refused, and the others stay off."""
    for one in found:
        words = f"{named_part(to, one.contactor)} held in at its test lever, press the reset: refused"
        wrong = "its feedback is not read: a welded pole would stay unseen"
        if one.stays_off:
            key, words = moved_by(to, one.stays_off), f"{words}, {named_part(to, one.stays_off)} stays off"
            to.is_on(stage, one.held, key, (None, None), words, wrong, test="function")
        else:
            kind, ends = one.contactor.kind or "DC", (one.contactor.a, one.contactor.b)
            to.no_volts(stage, one.held, ends, kind, words, wrong, test="function", who=Who.QUALIFIED)


def is_seen_cold(to: Builder, contactor: str) -> bool:
    """Whether the loop through the mirror contact of a contactor was measured with it held in."""
    held = frozenset({(contactor, "coil")})
    return any(line.stage is Stage.POLARITY and line.setting and line.setting.moved == held for line in to.lines)


def _lasts(run: Run, pair: Pair) -> bool:
    return abs(run.between(pair.a, pair.b, pair.kind or "DC")) >= LEAST_V
