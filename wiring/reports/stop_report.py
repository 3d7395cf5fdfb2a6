"""The stop proof for people and for programs: what each stop removes, and what every single fault does to it."""

from __future__ import annotations

from collections.abc import Collection
from math import isfinite

from wiring.control.sound import SoundStop
from wiring.control.verdicts import Verdict
from wiring.design.stop.account import Account, Lingering, StopAccount
from wiring.design.stop.records import StopProof, StopResult
from wiring.reports.page import Grid, Page
from wiring.reports.stop_faults import print_groups, print_stories
from wiring.reports.stop_words import faults_tried, without_a_fault
from wiring.reports.terminal import print_cautions
from wiring.wording import counted

STRUCTURE = (
    "This shows the structure of the circuit: what one fault does, and two. It is no performance level, no category "
    "and no certificate; probabilities, common causes and the inside of bought units are outside of it."
)
#: Faults of the lists that the proof leaves out, and why.
NOT_SIMULATED = (
    "Not assumed: shorts inside electronics and windings; wires touching in one enclosure (table D.4); beyond the two "
    "faults of category 4 (ISO 13849-1, 6.2.7) a third, a pair with an operator worked, the stop in or another order, "
    "three of many relays that seal; wear, bounce. Swapped phases add no way."
)


def render_stop(account: Account, plan: str, *, width: int, colour: bool, encoding: str = "utf-8") -> str:
    """The proof in lines of at most `width` columns (32 at the least); escape sequences only with `colour`."""
    page = Page(width, encoding, account.book)
    page.text(f"Stop proof of {plan}")
    page.blank()
    if not account.stops:
        page.text("Nothing proved: the plan has no stop with a device and something to remove.")
        page.blank()
    shown: dict[tuple[str, ...], str] = {}
    for stop in account.stops:
        _print_stop(page, stop, account.proof)
        _print_cuts(page, stop, shown)
    _print_guards(page, account)
    _print_lingering(page, account.lingering)
    page.text(NOT_SIMULATED)
    page.blank()
    page.text(STRUCTURE, 2, "-")
    print_cautions(page)
    return page.render(colour)


def _print_stop(page: Page, stop: StopAccount, proof: StopProof) -> None:
    result = stop.result
    use = result.use
    devices = ", ".join(f"{name} (held to run)" if name in use.let_go else name for name in use.devices)
    page.text(f"Stop {use.called}, category {use.category}, devices {devices}")
    page.grid(Grid(("without a fault", *use.devices), _states(result)))
    for line in without_a_fault(result):
        page.text(line, 4, "  -")
    page.blank()
    if stop.everything:
        page.text(f"{faults_tried(proof)}; only the one that is asked for is told.")
        print_stories(page, stop)
    else:
        page.text(_counts(result, proof))
        print_groups(page, stop.groups)
    page.blank()


def _states(result: StopResult) -> tuple[tuple[str, ...], ...]:
    """A row for all targets that every device leaves in the same state."""
    rows: dict[tuple[str, ...], list[str]] = {}
    for target in result.use.targets:
        states = tuple(_state(sound, target.name, result.unfed) for sound in result.sound)
        rows.setdefault(states, []).append(target.name)
    return tuple((", ".join(names), *states) for states, names in rows.items())


def _print_cuts(page: Page, stop: StopAccount, shown_before: dict[tuple[str, ...], str]) -> None:
    """The layers of contacts that cut each target; those that the same contacts cut stand together."""
    alike: dict[str, list[str]] = {}
    for name, layers in stop.cuts.items():
        shown = "; then ".join(" and ".join(layer) for layer in layers)
        alike.setdefault(shown or "none that this stop opens", []).append(name)
    lines = tuple(f"{', '.join(names)}: {shown}" for shown, names in alike.items())
    before = shown_before.setdefault(lines, stop.result.use.called)
    if before != stop.result.use.called:
        page.text(f"The contacts that cut each target are those of stop {before}.")
    else:
        page.text("Contacts that cut each target, the layers apart from one another:")
        for line in lines:
            page.text(line, 4, "  -")
    page.blank()


def _state(sound: SoundStop, target: str, unfed: Collection[str] = ()) -> str:
    for word, names in (
        ("ALIVE", sound.left),
        ("dead, ALIVE NEXT TIME", sound.on_demand),
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


def _counts(result: StopResult, proof: StopProof) -> str:
    left_out = len(result.of(Verdict.DANGEROUS, excluded=True))
    told = (
        f"{faults_tried(proof)}: {len(result.dangerous)} dangerous, {len(result.hidden)} safe but hidden, "
        f"{len(result.undecided)} undecided."
    )
    if proof.left_out:
        told += f" {left_out} of those left out {'is' if left_out == 1 else 'are'} dangerous"
        open_ = len(result.of(Verdict.UNDECIDED, excluded=True))
        told += f", {open_} undecided." if open_ else "."
    if result.open_pairs:
        told += f" {len(result.open_pairs)} pairs of faults would need numbers and stay open."
    return told


def _print_guards(page: Page, account: Account) -> None:
    if not account.guards:
        return
    page.text("Guard switches that no stop names, opened on the running machine:")
    for use, sound in account.guards:
        states = ", ".join(f"{target.name} {_state(sound, target.name)}" for target in use.targets)
        page.text(f"{sound.device}{use.while_}: {states}", 4, "  -")
    page.blank()


def _print_lingering(page: Page, lingering: tuple[Lingering, ...]) -> None:
    if not lingering:
        return
    page.text("Energy left in drives (own consumption only, motors still):")
    rows = tuple(
        (row.drive, f"{row.bus_v:.0f} V", f"{row.lockout_v:.0f} V", _seconds(row.lockout_s), _seconds(row.touch_s))
        for row in lingering
    )
    page.grid(Grid(("drive", "bus", "lock-out", "below it after", "below 60 V after"), rows))
    page.blank()


def _seconds(value: float) -> str:
    return f"{value:.2g} s" if isfinite(value) else "never"


def stop_exit(account: Account) -> int:
    """1 when a stop leaves something alive, restarts by itself, has a dangerous fault or an open question, or guards
    what no state feeds; else 0. What starts while a hand holds its start is told, and a start that a person gives."""
    bad = any(
        stop.result.dangerous
        or stop.result.undecided
        or stop.result.open_pairs
        or stop.result.unfed
        or any(sound.left or sound.on_demand or sound.on_release or sound.on_mains for sound in stop.result.sound)
        for stop in account.stops
    )
    return int(bad)


def time_told(account: Account, seconds: float) -> str:
    """How long the proof took, in all and for each fault under each device; times differ from run to run."""
    tried = sum(len(stop.result.verdicts) for stop in account.stops)
    each = f", {1000.0 * seconds / tried:.3g} ms for each" if tried else ""
    return f"{counted(tried, 'fault')} tried with their devices in {seconds:.3g} s of processor time{each}."
