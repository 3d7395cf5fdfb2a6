"""The stages from the mains to the last branch: one thing at a time becomes live."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from msgspec.structs import replace

from wiring.circuit.model import named
from wiring.parts.elements import Output, Switch
from wiring.parts.incoming import Transformer
from wiring.parts.protection import Disconnector, ResidualCurrentDevice
from wiring.parts.sources import Rectifier
from wiring.powerup.builder import Builder, practice
from wiring.powerup.step import Setting, Stage, Who
from wiring.powerup.survey import Pair, pairs_of
from wiring.solver.lowering import line_to_neutral_v

#: A voltage below this is not worth a line [V].
LEAST_V = 1.0


def mains(to: Builder) -> None:
    """The inlet, then the load side of the main switch, with every branch open."""
    inlet = to.survey.inlet
    live: list[str] = [name for name in ("L", "L1", "L2", "L3") if name in inlet]
    setting = to.survey.only()
    if not live:
        return
    to.look(
        Stage.MAINS,
        "Mains on, every branch open, local electrical code kept: hear, smell, look",
        "nothing hums, smells or trips",
        "switch off, lock off, find it",
        Who.QUALIFIED,
        setting=setting,
    )
    if any(isinstance(part.data, Transformer) for part in to.design.parts.values()):
        to.look(
            Stage.MAINS,
            "First time with a transformer: a filament lamp of 60 W to 100 W in series with the line",
            "a flash, then dark or dim",
            "it stays bright: a short behind it",
            Who.QUALIFIED,
        )
    _inlet(to, setting, live)
    _residual_devices(to)
    with to.annex():
        _switched_off(to, setting)
        _line_sides(to, setting)


def _inlet(to: Builder, setting: Setting, live: list[str]) -> None:
    """Every pair of conductors of the incoming supply, and the sequence of three phases."""
    inlet = to.survey.inlet
    for a, b in _mains_pairs(live, "N" in inlet):
        # Line to line, and one of them to neutral, tell of the other lines.
        with to.annex(b == "N" and a != live[0]):
            to.volts(
                Stage.MAINS,
                setting,
                (inlet[a], inlet[b]),
                "AC",
                practice("mains_voltage"),
                f"Inlet {a} to {b}",
                "wrong supply, or a conductor of it is missing",
                Who.QUALIFIED,
                row=("Inlet, between conductors", f"{a} to {b}"),
            )
    if "PE" in inlet:
        for name in live:
            # With a neutral, one line and the neutral to earth tell where the others stand.
            with to.annex("N" in inlet and name != live[0]):
                to.volts(
                    Stage.MAINS,
                    setting,
                    (inlet[name], inlet["PE"]),
                    "AC",
                    practice("mains_voltage"),
                    f"Inlet {name} to PE",
                    "no earth at the socket, or line and neutral changed over",
                    Who.QUALIFIED,
                    row=("Inlet, to earth", f"{name} to PE"),
                )
    if {"N", "PE"} <= set(inlet):
        to.no_volts(
            Stage.MAINS,
            setting,
            (inlet["N"], inlet["PE"]),
            "AC",
            "Inlet N to PE",
            "line and neutral changed over, or a broken neutral",
            practice("neutral_to_earth_max"),
            who=Who.QUALIFIED,
            row=("Inlet, to earth", "N to PE"),
        )
    if len(live) == 3:
        to.look(
            Stage.MAINS,
            "Sequence of the phases at the inlet, with an indicator of rotation at L1, L2, L3",
            "clockwise",
            "motors straight on the supply turn backwards: change two lines over, power off",
            Who.QUALIFIED,
        )


def _residual_devices(to: Builder) -> None:
    """The test button of every residual current device; a conductor that goes past a pole trips it under load."""
    for part in to.design.parts.values():
        if isinstance(part.data, ResidualCurrentDevice):
            to.look(
                Stage.MAINS,
                f"Test button of {part.title} ({part.name}); then on again, and it stays on under load later",
                "it trips at once, and at nothing else",
                "a conductor goes past one of its poles, or it is worn out",
                Who.QUALIFIED,
                about=(part.name,),
            )


def _switched_off(to: Builder, setting: Setting) -> None:
    """The main switch open: nothing behind any of its poles."""
    earth = to.survey.earth
    for part in to.design.parts.values():
        if not isinstance(part.data, Disconnector) or earth is None:
            continue
        off = replace(setting, moved=setting.moved | {(part.name, "handle")})
        for pole in part.elements:
            if isinstance(pole, Switch) and to.run(setting).between((part.name, pole.a), earth, "AC") > LEAST_V:
                to.no_volts(
                    Stage.MAINS,
                    off,
                    ((part.name, pole.b), earth),
                    "AC",
                    f"{part.title} ({part.name}) off: nothing behind pole {pole.name}",
                    "a pole does not open, or a conductor goes past the switch",
                    who=Who.QUALIFIED,
                )


def _mains_pairs(live: list[str], neutral: bool) -> list[tuple[str, str]]:
    return [*combinations(live, 2), *((name, "N") for name in live if neutral)]


def _line_sides(to: Builder, setting: Setting) -> None:
    """The line side of every device in the mains circuit: it sees the supply while the device is out."""
    run, inlet = to.run(setting), to.survey.inlet
    back = inlet.get("N") or inlet.get("PE")
    if back is None or to.design.plan.mains is None:
        return
    for name, part in to.survey.devices.items():
        if not to.survey.is_mains(name):
            continue
        for terminal in part.terminals:
            volts = run.between((name, terminal), back, "AC")
            if volts > 0.5 * line_to_neutral_v(to.design.plan.mains):
                to.volts(
                    Stage.MAINS,
                    setting,
                    ((name, terminal), back),
                    "AC",
                    practice("mains_voltage"),
                    f"Main switch on: line side of {name} ({part.title}) to {named(back)}",
                    "main switch or a conductor to it is open",
                    Who.QUALIFIED,
                )
                break


def _room(to: Builder, source: str) -> float:
    unregulated = isinstance(to.design.parts[source].data, Rectifier | Transformer)
    return practice("unregulated_unloaded" if unregulated else "supply_unloaded")


def unloaded_output(to: Builder, stage: Stage, source: str, setting: Setting) -> None:
    """The output of a source with nothing on it, and to earth where its return is bonded."""
    output: Output = to.survey.sources[source]
    part = to.design.parts[source]
    ends = (source, output.plus), (source, output.minus)
    wrong = "wrong setting, a short on the rail, or the supply is dead"
    words = row = f"{part.title} ({source}) unloaded"
    kind = output.kind or "DC"
    to.volts(stage, setting, ends, kind, _room(to, source), words, wrong, Who.QUALIFIED, row=(row, "output"))
    earth = to.survey.earth
    if earth is not None and abs(to.run(setting).between(ends[0], earth, kind)) > LEAST_V:
        words, wrong = f"{part.title} ({source}), plus to earth", "the 0 V of this rail is not bonded to earth"
        with to.annex():
            to.volts(stage, setting, (ends[0], earth), kind, _room(to, source), words, wrong, Who.QUALIFIED)


def source_is_up(to: Builder, source: str, setting: Setting) -> bool:
    """Whether a source delivers in a setting."""
    output = to.survey.sources[source]
    ends = (source, output.plus), (source, output.minus)
    return abs(to.run(setting).between(*ends, output.kind or "DC")) > LEAST_V


def first_settings(to: Builder) -> Iterator[tuple[str, Setting]]:
    """Every supply that the mains reaches without a contactor, with the position in which it stands unloaded."""
    for source in to.survey.sources:
        ahead = to.survey.ahead(source)
        if to.survey.is_mains_fed(source) and all(map(to.survey.is_mains, ahead)):
            setting = to.survey.only(*ahead)
            if source_is_up(to, source, setting):
                yield source, setting


def supplies(to: Builder) -> set[str]:
    """Every supply that the mains reaches without a contactor; the names of those seen come back."""
    seen = set()
    for source, setting in first_settings(to):
        unloaded_output(to, Stage.SUPPLIES, source, setting)
        seen.add(source)
    return seen


# Branches.


def chain_of(to: Builder, device: str) -> tuple[str, ...]:
    """A device with everything ahead of it: the devices of its own circuit and those of the supply behind them."""
    wanted = {device}
    queue = [device]
    while queue:
        name = queue.pop()
        ahead = set(to.survey.ahead(name))
        for rail_source in _sources_of(to, name):
            ahead |= set(to.survey.ahead(rail_source)) | {rail_source}
        for other in sorted(ahead - wanted):
            wanted.add(other)
            queue.append(other)
    return tuple(name for name in to.survey.devices if name in wanted)


def _sources_of(to: Builder, name: str) -> set[str]:
    part = to.design.parts[name]
    nodes = [(name, terminal) for terminal in part.terminals]
    rails = {rail.source for node in nodes for rail in to.design.roles.rails.get(node, ())}
    return {source for source in rails if source in to.survey.sources and source != name}


def fed_pairs(to: Builder, setting: Setting, device: str) -> list[Pair]:
    """Where a device's power arrives: the pairs of terminals of what it feeds that are live in the setting."""
    run = to.run(setting)
    found = []
    for name in to.survey.fed_by[device]:
        for pair in pairs_of(to.design.parts[name]):
            kind, here = pair.kind or "DC", {pair.a, pair.b} & to.survey.nodes_behind[device]
            if here and pair.takes_power and abs(run.between(pair.a, pair.b, kind)) > LEAST_V:
                found.append(pair)
    return found


def _order(to: Builder, device: str) -> tuple[float, str]:
    """Low voltages first, mains loads last."""
    sources = [abs(to.survey.sources[source].volts) for source in _sources_of(to, device)]
    return (1e6 if to.survey.is_mains(device) else max(sources, default=0.0), device)


def branches(to: Builder, seen: set[str]) -> None:
    """One branch device after the other, the smallest rail first: the voltage where its power arrives, its current.

    The sources seen behind them are added to `seen`.
    """
    inside: tuple[str, ...] = ()
    for device in sorted(to.survey.devices, key=lambda name: _order(to, name)):
        chain = (*inside, *chain_of(to, device))
        setting = to.survey.only(*chain)
        pairs = [pair for pair in fed_pairs(to, setting, device) if _belongs_here(to, pair)]
        row = f"Branch {device} ({to.design.parts[device].title})"
        if pairs:
            inside = chain
            _fed_pair(to, setting, device, pairs[-1], row)
        with to.annex():
            if pairs and not to.survey.is_mains(device):
                _branch_current(to, setting, device, row)
            for pair in pairs[:-1]:
                _fed_pair(to, setting, device, pair, row)
        for pair in pairs:
            if pair.part in to.survey.sources and not to.survey.is_mains_fed(pair.part) and pair.part not in seen:
                unloaded_output(to, Stage.BRANCHES, pair.part, setting)
                seen.add(pair.part)


def _fed_pair(to: Builder, setting: Setting, device: str, pair: Pair, row: str) -> None:
    """The voltage where the power of a branch arrives."""
    kind, fed = pair.kind or "DC", to.design.parts[pair.part]
    to.volts(
        Stage.BRANCHES,
        setting,
        (pair.a, pair.b),
        kind,
        practice("mains_voltage" if kind == "AC" else "branch_voltage"),
        f"Branch {device} ({to.design.parts[device].title}): {fed.title} ({fed.name})",
        "open conductor or fuse on the way, wrong terminal, or the return is missing",
        Who.QUALIFIED if to.survey.is_mains(device) else Who.INSTRUCTED,
        row=(row, f"at {fed.name}"),
    )


def _belongs_here(to: Builder, pair: Pair) -> bool:
    """A supply has been seen before; what can hurt comes after the stop has been proved."""
    if pair.part in to.survey.sources and to.survey.is_mains_fed(pair.part):
        return False
    return pair.part not in to.survey.hazardous or pair.is_coil or pair.is_logic


def _branch_current(to: Builder, setting: Setting, device: str, row: str) -> None:
    pole = next(iter(sorted(to.survey.poles([device]))))
    to.amps(
        Stage.BRANCHES,
        setting,
        pole,
        "DC",
        f"Branch {device}: current by clamp, or by the meter in place of the fuse, put in while all is off",
        "a part behind it takes too much, or does not run",
        row=(row, "current"),
    )
