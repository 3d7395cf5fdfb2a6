"""The stop proof in the words that every report and document of it shares."""

from __future__ import annotations

from collections.abc import Set

from wiring.control.script import Moment
from wiring.control.verdicts import Verdict
from wiring.design.stop.records import StopProof, StopResult
from wiring.wording import counted, does

#: What becomes of a stop with a fault that is told.
TITLES = {
    Verdict.DANGEROUS: "Dangerous",
    Verdict.UNDECIDED: "Undecided",
    Verdict.HIDDEN: "Safe but hidden: the machine runs on, and the next fault is dangerous",
    Verdict.SAFE: "Safe",
}


def faults_tried(proof: StopProof) -> str:
    """How many faults were tried: those that must be assumed, and those that may be left out."""
    told = f"{counted(len(proof.faults), 'single fault')} assumed"
    return f"{told}, {len(proof.left_out)} left out (ISO 13849-2)" if proof.left_out else told


def stands(device: str, let_go: Set[str]) -> str:
    """How a device stands while it calls for the stop: those of `let_go` are held to run."""
    return "is let go" if device in let_go else "is in"


def released(device: str, let_go: Set[str]) -> str:
    """What is done to a device after the stop, before the reset."""
    return "stays let go" if device in let_go else "is released"


def without_a_fault(result: StopResult) -> list[str]:
    """What the table without a fault says, in sentences: which operators decide, and what is not proved."""
    found: dict[str, None] = {}
    held = result.use.let_go
    for sound in result.sound:
        act = "let go" if sound.device in held else "worked"
        back = "the mains return" if sound.device in held else f"{sound.device} is released or the mains return"
        for moment, names, words in (
            (Moment.TRIED, sound.left, f"stays alive while {sound.device} {stands(sound.device, held)}"),
            (Moment.DEMAND, sound.on_demand, f"stays alive when {sound.device} is {act} again after the reset"),
            (Moment.RELEASE, sound.on_release, f"starts again when {sound.device} {released(sound.device, held)}"),
            (Moment.MAINS_ON, sound.on_mains, "starts when the mains return"),
            (Moment.HELD, sound.on_held, f"starts when {back}"),
        ):
            for name in names:
                hands = sound.worked.get((moment, name), ())
                how = "held" if moment is Moment.HELD else "worked"
                told = f", with {' and '.join(hands)} {how}" if hands else ""
                fastest = sound.faster.get((moment, name))
                told += f", where {fastest} is faster than the other coils" if fastest else ""
                found[f"{name} {words}{told}."] = None
        for name in sound.on_reset:
            found[f"{name} starts by the reset alone: a start of its own is wanted after it."] = None
    for name in result.unfed:
        found[
            f"{name} is fed in no state, and nothing is proved for it: say in a state which operators are worked "
            "(`S7: worked`)."
        ] = None
    return [*found, *_at_other_volts(result)]


def _at_other_volts(result: StopResult) -> list[str]:
    """What supplies below their voltage, and coils with other limits, make of the machine without a fault."""
    low = list(dict.fromkeys(name for sound in result.sound for name in sound.on_low))
    if low:
        return [
            f"Supplies so low that coils let go: not ruled out that {does(low, 'is', 'are')} fed; judge it by hand."
        ]
    told = "Supplies at 80 % or less: nothing more is fed, whichever coils let go."
    volts = any(sound.by_numbers for sound in result.sound)
    return [told, *(["At full volts pick-up and drop-out decide, and are solved."] if volts else [])]
