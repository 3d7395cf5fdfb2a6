"""The stop proof for people and for programs: what each stop removes, and what every single fault does to it."""

from __future__ import annotations

import json
from collections.abc import Collection
from math import isfinite
from typing import Any

from wiring.control.script import Moment
from wiring.control.sound import SoundStop
from wiring.control.verdicts import Verdict
from wiring.design.stop_account import Account, Lingering, StopAccount, Told
from wiring.design.stop_records import StopProof, StopResult
from wiring.reports.page import Grid, Page
from wiring.reports.stop_words import faults_tried
from wiring.reports.terminal import print_cautions

STRUCTURE = (
    "This shows the structure of the circuit: what one fault does, and two. It is no performance level, no category "
    "and no certificate; probabilities, common causes and the inside of bought units are outside of it."
)
#: Faults of the lists that the proof leaves out, and why.
NOT_SIMULATED = (
    "Not simulated: supplies at reduced voltage, phases swapped, shorts inside semiconductors, capacitors and "
    "windings, wear, bounce and times within one switching. A phase lost is tried as its broken conductor and as its "
    "open pole; a plug half pulled as its cores broken one by one."
)
_TITLES = {
    Verdict.DANGEROUS: "Dangerous",
    Verdict.UNDECIDED: "Undecided",
    Verdict.HIDDEN: "Safe but hidden: the machine runs on, and the next fault is dangerous",
    Verdict.SAFE: "Safe",
}


def render_stop(account: Account, plan: str, *, width: int, colour: bool, encoding: str = "utf-8") -> str:
    """The proof in lines of at most `width` columns (32 at the least); escape sequences only with `colour`."""
    page = Page(width, encoding)
    page.text(f"Stop proof of {plan}")
    page.blank()
    if not account.stops:
        page.text("Nothing proved: the plan has no stop with a device and something to remove.")
        page.blank()
    for stop in account.stops:
        _print_stop(page, stop, account.proof)
    _print_guards(page, account)
    _print_lingering(page, account.lingering)
    page.text(NOT_SIMULATED)
    page.blank()
    page.text(STRUCTURE)
    page.blank()
    print_cautions(page)
    return page.render(colour)


def _print_stop(page: Page, stop: StopAccount, proof: StopProof) -> None:
    result = stop.result
    use = result.use
    page.text(f"Stop {use.name}, category {use.category}, devices {', '.join(use.devices)}")
    rows = tuple(
        (target.name, *(_state(sound, target.name, result.unfed) for sound in result.sound)) for target in use.targets
    )
    page.grid(Grid(("without a fault", *use.devices), rows))
    page.blank()
    for line in without_a_fault(result):
        page.text(line, 4, "  -")
    page.blank()
    page.text(_counts(result, proof))
    for word in (Verdict.DANGEROUS, Verdict.UNDECIDED, Verdict.HIDDEN, Verdict.SAFE):
        _print_told(
            page, _TITLES[word], [t for t in stop.told if t.verdict.verdict is word and not t.verdict.fault.excluded]
        )
    left_out = [t for t in stop.told if t.verdict.fault.excluded]
    _print_told(page, "Left out under the conditions of ISO 13849-2, but told", left_out)
    page.blank()
    page.text("Contacts that cut each target, the layers apart from one another:")
    for name, layers in stop.cuts.items():
        shown = "; then ".join(" and ".join(layer) for layer in layers)
        page.text(f"{name}: {shown or 'none that this stop opens'}", 4, "  -")
    page.blank()


def _state(sound: SoundStop, target: str, unfed: Collection[str] = ()) -> str:
    for word, names in (
        ("ALIVE", sound.left),
        ("dead, RESTARTS", sound.on_release),
        ("dead, MAINS START", sound.on_mains),
        ("dead, HELD STARTS", sound.on_held),
        ("NOT FED", unfed),
        ("dead, RESET STARTS", sound.on_reset),
        ("dead, delayed", sound.late),
    ):
        if target in names:
            return word
    return "dead"


def without_a_fault(result: StopResult) -> list[str]:
    """What the table without a fault says, in sentences: which operators decide, and what is not proved."""
    found: dict[str, None] = {}
    for sound in result.sound:
        for moment, names, words in (
            (Moment.TRIED, sound.left, f"stays alive while {sound.device} is in"),
            (Moment.RELEASE, sound.on_release, f"starts again when {sound.device} is released"),
            (Moment.MAINS_ON, sound.on_mains, "starts when the mains return"),
            (Moment.HELD, sound.on_held, f"starts when {sound.device} is released or the mains return"),
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
    return list(found)


def _counts(result: StopResult, proof: StopProof) -> str:
    left_out = len(result.of(Verdict.DANGEROUS, excluded=True))
    told = (
        f"{faults_tried(proof)}: {len(result.dangerous)} dangerous, {len(result.hidden)} safe but hidden, "
        f"{len(result.undecided)} undecided."
    )
    if proof.left_out:
        told += f" {left_out} of those left out {'is' if left_out == 1 else 'are'} dangerous."
    return told


def _print_told(page: Page, title: str, told: list[Told]) -> None:
    if not told:
        return
    page.blank()
    page.text(f"{title}:")
    for one in told:
        verdict = one.verdict
        worked = " and ".join(part for part, _ in verdict.operators)
        hands = f", {worked} worked" if worked else ""
        page.text(f"{verdict.fault.id} ({verdict.device}{hands}): {verdict.verdict}", 4, "  -")
        for number, step in enumerate(one.steps, 1):
            page.text(step, 9, f"    {number:>2}")
        if verdict.next:
            page.text(f"next: {', '.join(verdict.next[:3])}{' ...' if len(verdict.next) > 3 else ''}", 9)
        if verdict.race:
            page.text("race: the order of the contacts decides", 9)
        if verdict.reason:
            page.text(f"undecided because {verdict.reason}", 9)
        if verdict.fault.excluded:
            page.text(f"left out: {verdict.fault.excluded}", 9)


def _print_guards(page: Page, account: Account) -> None:
    if not account.guards:
        return
    page.text("Guard switches that no stop names, opened on the running machine:")
    for use, sound in account.guards:
        states = ", ".join(f"{target.name} {_state(sound, target.name)}" for target in use.targets)
        page.text(f"{sound.device}: {states}", 4, "  -")
    page.blank()


def _print_lingering(page: Page, lingering: tuple[Lingering, ...]) -> None:
    if not lingering:
        return
    page.text("Energy that lingers in drives after the power is gone (own consumption only, motors still):")
    rows = tuple(
        (row.drive, f"{row.bus_v:.0f} V", f"{row.lockout_v:.0f} V", _seconds(row.lockout_s), _seconds(row.touch_s))
        for row in lingering
    )
    page.grid(Grid(("drive", "bus", "lock-out", "below it after", "below 60 V after"), rows))
    page.blank()


def _seconds(value: float) -> str:
    return f"{value:.2g} s" if isfinite(value) else "never"


def render_stop_json(account: Account, plan: str) -> str:
    """The proof as JSON: format 1, by stop.

    `hidden`: the stop works and the machine runs on, and a next fault, named in `next`, is dangerous. `left_out`:
    dangerous, but the fault tables allow to leave it out under a condition that this circuit meets.
    """
    document = {
        "format": 1,
        "plan": plan,
        "single_faults": len(account.proof.faults),
        "single_faults_left_out": len(account.proof.left_out),
        "stops": {stop.result.use.name: _stop_data(stop) for stop in account.stops},
        "guards": {sound.device: _sound_data(sound) for _, sound in account.guards},
        "lingering": {
            row.drive: {
                "bus_v": row.bus_v,
                "lockout_v": row.lockout_v,
                "lockout_s": row.lockout_s if isfinite(row.lockout_s) else None,
                "touch_s": row.touch_s if isfinite(row.touch_s) else None,
            }
            for row in account.lingering
        },
        "not_simulated": NOT_SIMULATED,
        "caution": STRUCTURE,
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _sound_data(sound: SoundStop) -> dict[str, Any]:
    return {
        "running": list(sound.running),
        "left": list(sound.left),
        "restarts_on_release": list(sound.on_release),
        "restarts_on_mains_return": list(sound.on_mains),
        "starts_if_held": list(sound.on_held),
        "starts_by_reset": list(sound.on_reset),
        "operators": {f"{target}, {moment.value}": list(names) for (moment, target), names in sound.worked.items()},
        "starts_again_after_reset": sound.again,
        "delayed": list(sound.late),
    }


def _stop_data(stop: StopAccount) -> dict[str, Any]:
    result = stop.result
    return {
        "category": result.use.category,
        "not_fed": list(result.unfed),
        "devices": {sound.device: _sound_data(sound) for sound in result.sound},
        "dangerous": [one.fault.id for one in result.dangerous],
        "left_out": [one.fault.id for one in result.of(Verdict.DANGEROUS, excluded=True)],
        "hidden": [one.fault.id for one in result.hidden],
        "undecided": [one.fault.id for one in result.undecided],
        "faults": [_told_data(one) for one in stop.told],
        "cuts": {name: [list(layer) for layer in layers] for name, layers in stop.cuts.items()},
    }


def _told_data(told: Told) -> dict[str, Any]:
    one = told.verdict
    return {
        "fault": one.fault.id,
        "kind": one.fault.kind,
        "subjects": list(one.fault.subjects),
        "table": one.fault.table,
        "device": one.device,
        "operators": [part for part, _ in one.operators],
        "verdict": one.verdict.value,
        "moment": one.moment.value if one.moment else None,
        "alive": list(one.alive),
        "machine_runs": one.runs,
        "race": one.race,
        "reason": one.reason,
        "next": list(one.next),
        "left_out": one.fault.excluded,
        "story": list(told.steps),
    }


def stop_exit(account: Account) -> int:
    """1 when a stop leaves something alive, restarts by itself, has a dangerous fault or an open question, or guards
    what no state feeds; else 0."""
    bad = any(
        stop.result.dangerous
        or stop.result.undecided
        or stop.result.unfed
        or any(sound.left or sound.on_release or sound.on_mains or sound.on_held for sound in stop.result.sound)
        for stop in account.stops
    )
    return int(bad)
