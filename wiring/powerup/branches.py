"""The stage in which one branch after the other becomes live, the smallest rail first."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.parts.elements import Pole
from wiring.parts.loads import Fan, Lamp
from wiring.parts.protection import Fuse
from wiring.parts.switching import Coiled
from wiring.powerup.builder import LEAST_V, LIT, Builder, named_part, practice
from wiring.powerup.side_by_side import joined_with, lie_beside
from wiring.powerup.step import Setting, Stage, Who
from wiring.powerup.supplies import unloaded_output
from wiring.powerup.survey import Pair, pairs_of

#: What shows that its power arrives; with coils, what is lost to nothing of its own rail.
_SHOWING = (Lamp, Fan)
_LASTING = (*_SHOWING, Coiled)
#: The limit of extra-low voltage on DC without ripple in this sheet [V]: IEC 60204-1:2016, 6.4.1, PELV (from memory).
EXTRA_LOW_V = 60.0
_NOT_FED = "open conductor or fuse on the way, wrong terminal, or the return is missing"


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
    """One branch after the other: where its power arrives, its current.

    The sources seen behind them are added to `seen`.
    """
    for group, _, setting in positions(to):
        for device in group:
            pairs = _arriving(to, setting, device)
            fresh = [pair for pair in pairs if _is_fresh_source(to, pair, seen)]
            _arrives(to, setting, device, pairs, is_told=bool(fresh))
            for pair in fresh:
                unloaded_output(to, Stage.BRANCHES, pair.part, setting)
                seen.add(pair.part)


def positions(to: Builder) -> Iterator[tuple[list[str], Setting, Setting]]:
    """The devices that go in together, with the position before, in which they are out, and that with them in."""
    inside: tuple[str, ...] = ()
    for group in _groups(to):
        chain = (*inside, *(name for device in group for name in chain_of(to, device)))
        before, setting = to.survey.only(*inside), to.survey.only(*chain)
        yield group, before, setting
        if any(_arriving(to, setting, device) for device in group):
            inside = chain


def _arriving(to: Builder, setting: Setting, device: str) -> list[Pair]:
    return [pair for pair in fed_pairs(to, setting, device) if _belongs_here(to, pair)]


def _is_fresh_source(to: Builder, pair: Pair, seen: set[str]) -> bool:
    return pair.part in to.survey.sources and not to.survey.is_mains_fed(pair.part) and pair.part not in seen


def _groups(to: Builder) -> list[list[str]]:
    """The devices that go in together: each alone, but the fuse of lamps and fans with another one of extra-low
    voltage, for nothing behind it is lost to a voltage of its own rail; with one that it lies beside nowhere if there
    is one, for a bridge between two that go in together does not show."""
    ordered = sorted(to.survey.devices, key=lambda name: _order(to, name))
    riders = [name for name in ordered if _rides(to, name)]
    groups = [[name] for name in ordered if name not in riders]
    hosts = [group for group in groups if _is_low_fuse(to, group[0]) and _feeds_here(to, group[0])]
    for n, rider in enumerate(riders):
        if hosts:
            apart = [group for group in hosts if not any(_are_neighbours(to, rider, one) for one in group)]
            min(reversed(apart or hosts), key=len).append(rider)
        else:
            groups.insert(n, [rider])
    return groups


def _are_neighbours(to: Builder, first: str, second: str) -> bool:
    """Whether what two devices feed lies side by side somewhere."""
    fed = [[(name, pole.b) for pole in to.design.parts[name].of(Pole)] for name in (first, second)]
    return lie_beside(to, *(joined_with(to, *ends) for ends in fed))


def _is_low_fuse(to: Builder, device: str) -> bool:
    """Whether a device is a fuse, which goes in on the dead machine alone, in a circuit of extra-low voltage."""
    is_low = 0.0 < _order(to, device)[0] <= EXTRA_LOW_V
    return isinstance(to.design.parts[device].data, Fuse) and is_low


def _feeds_here(to: Builder, device: str) -> bool:
    return any(_belongs_here(to, pair) for pair in fed_pairs(to, to.survey.only(*chain_of(to, device)), device))


def _rides(to: Builder, device: str) -> bool:
    """Whether nothing but lamps, fans and coils takes its power behind a fuse of extra-low voltage."""
    behind = [pair for name in to.survey.fed_by[device] for pair in pairs_of(to.design.parts[name])]
    taking = [pair for pair in behind if pair.takes_power and pair.a in to.survey.nodes_behind[device]]
    lasting = all(isinstance(to.design.parts[pair.part].data, _LASTING) for pair in taking)
    return bool(taking) and lasting and _is_low_fuse(to, device) and _feeds_here(to, device)


def _arrives(to: Builder, setting: Setting, device: str, pairs: list[Pair], *, is_told: bool) -> None:
    """That the power of a branch arrives: seen at a lamp or fan, `is_told` by what a supply behind it delivers, else
    measured; the rest for the annex."""
    row = f"Branch {device} ({to.design.parts[device].title})"
    shown = next((pair for pair in pairs if isinstance(to.design.parts[pair.part].data, _SHOWING)), None)
    if shown and not is_told:
        kind, ends = shown.kind or "DC", (shown.a, shown.b)
        on_v = LIT * abs(to.run(setting).between(*ends, kind))
        words = f"{row} in: {named_part(to, shown)} lit or turning"
        to.is_on(Stage.BRANCHES, setting, None, ends, words, _NOT_FED, on_v, row=(row, f"{shown.part} lit or turning"))
    if pairs:
        with to.annex(is_told or shown):
            _fed_pair(to, setting, device, pairs[-1], row)
    with to.annex():
        if pairs and not to.survey.is_mains(device):
            _branch_current(to, setting, device, row)
        for pair in pairs[:-1]:
            _fed_pair(to, setting, device, pair, row)


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
        _NOT_FED,
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
