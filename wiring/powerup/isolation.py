"""Switched off, locked, waited for and proved dead: before hands or ohm leads go anywhere, and again after every stage
that was live; and how fast stored voltage is gone."""

from __future__ import annotations

from itertools import combinations
from math import inf

from wiring.circuit.model import named
from wiring.powerup.builder import UNPLUGGED, Builder
from wiring.powerup.contact_safety import volts_words
from wiring.powerup.step import Expected, Meter, Sort, Stage, Who
from wiring.powerup.stored_energy import Store, bleeder_ohm, limit_v, seconds_words, store_words, waited_for_together
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.limits import discharge_time_s

_CHARGED = "wait, use a resistor made for it, and put the warning with the time to wait on the door"


def lock_off(to: Builder) -> None:
    """Unplugged, locked, and proved dead, before anything else."""
    to.look(
        Stage.LOCK,
        "Unplug or switch off, lock it and keep the key; a second person is near",
        "locked off",
        "stop here",
    )
    to.look(
        Stage.LOCK,
        "Prove the meter on a known source now and after every look for dead; meter and leads as each line says",
        "the known value",
        "take another meter",
    )
    prove_dead(to, Stage.LOCK)


def conductors_of(to: Builder) -> list[str]:
    """The conductors of the incoming supply, lines first."""
    return [name for name in ("L", "L1", "L2", "L3", "N", "PE") if name in to.survey.inlet]


def prove_dead(to: Builder, stage: Stage) -> None:
    """Every pair of conductors of the inlet, then every store of energy: waited for, and seen to be empty."""
    inlet = to.survey.inlet
    for name, other in combinations(conductors_of(to), 2):
        to.no_volts(
            stage,
            UNPLUGGED,
            (inlet[name], inlet[other]),
            "AC",
            f"Prove dead: {name} to {other}",
            "it is not isolated: stop and find the other feed",
            who=Who.QUALIFIED,
            row=("Prove dead at the inlet", f"{name} to {other}"),
        )
    for store in waited_for_together(to.survey.stores):
        _empty(to, stage, store)


def _empty(to: Builder, stage: Stage, store: Store) -> None:
    """A store waited for and proved dead: with a voltmeter where that may be done."""
    wait = f"wait {seconds_words(store.wait_s)}" if store.wait_s is not None else "wait the time on its label"
    told = f"Stored energy of {store.names} ({store_words(store)}): {wait}"
    if store.wait_s is None:
        to.ask(f"{stage.number} stored energy of {store.names}: {_asked(to, store)}")
    if store.high:
        to.look(
            stage,
            f"{told}; then discharged and proved dead by its maker's procedure, with the earthing stick made for it, "
            "which stays on. No meter, lead or hand before that",
            "earthing stick on, output proved dead",
            "keep away; the maker's service",
            Who.QUALIFIED,
        )
    elif store.inside:
        to.look(
            stage,
            f"{told}; it lies behind the terminals, where no lead reaches",
            "waited; every charge lamp dark",
            "keep away; the maker's service",
            Who.QUALIFIED,
        )
    else:
        to.no_volts(
            stage,
            UNPLUGGED,
            store.ends,
            "DC",
            f"{told}; then prove dead {named(store.ends[0])} to {named(store.ends[1])}",
            "charge is left: wait on; a resistor made for it, never a short",
        )


def _asked(to: Builder, store: Store) -> str:
    names = [name for name in store.parts if hasattr(to.design.parts[name].data, "discharge")]
    missing = f"`discharge` of {', '.join(names)}" if names else "a bleeder"
    return f"not judged: {missing}, the time after switching off until it is dead"


def residual_voltage_stage(to: Builder) -> None:
    """Every store of energy: where it stands after the time that the standard gives."""
    limit = to.design.book.discharge_limit("enclosure")
    if isinstance(limit, NotTabled):
        to.ask(f"{Stage.RESIDUAL.number} residual voltage: the rulebook gives no limit")
        return
    harmless = [store for store in to.survey.stores if not store.inside and store.volts <= limit.voltage.value]
    if harmless:
        names = ", ".join(store.names for store in harmless)
        action, words = (
            f"Main switch off. Residual voltage of {names}: nothing to measure",
            f"never above {limit.voltage.value:g} V",
        )
        to.look(Stage.RESIDUAL, action, words, _CHARGED, test="residual")
    for store in waited_for_together(to.survey.stores):
        action = f"Main switch off, {limit.time.value:g} s later: {named(store.ends[0])} to {named(store.ends[1])}"
        words, low = _decay(to, store), limit.voltage.value
        expected = Expected(Sort.BELOW, min(store.volts, low), -low, low, words)
        if words.startswith("not judged"):
            expected = Expected(Sort.UNJUDGED, None, -low, low, words)
        if store.inside:
            _empty(to, Stage.RESIDUAL, store)
            continue
        with to.annex(store in harmless):
            to.add(
                Stage.RESIDUAL, action, Meter.DC_V, expected, _CHARGED, Who.QUALIFIED, None, store.ends, test="residual"
            )


def _decay(to: Builder, store: Store) -> str:
    limit = limit_v(to.survey) or 0.0
    farads = f"; {1e3 * store.farads:.3g} mF" if store.farads else ""
    if store.volts <= limit:
        return f"stands at {volts_words(store.volts)}, never above {limit:g} V{farads}"
    ohm = bleeder_ohm(to.survey, store.ends)
    if ohm == inf or not store.farads:
        return f"not judged: {store_words(store)} has no bleeder; see the label of its maker"
    seconds = discharge_time_s(ohm, store.farads, store.volts, limit)
    return f"{1e3 * store.farads:.3g} mF from {store.volts:.3g} V falls to {limit:g} V in {seconds:.2g} s"
