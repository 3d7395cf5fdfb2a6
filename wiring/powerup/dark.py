"""While a fuse or breaker is out, what it feeds is dark: a conductor that goes past it shows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from wiring.parts.drives import Drive
from wiring.parts.elements import Pole
from wiring.parts.loads import Fan, Lamp
from wiring.parts.motors import Shaft
from wiring.parts.signals import IoCard
from wiring.parts.sources import Converter, Supply
from wiring.parts.switching import SafetyRelay
from wiring.powerup.branches import chain_of, fed_pairs, positions
from wiring.powerup.builder import LEAST_V, LIT, Builder, named_part
from wiring.powerup.machine import Fault
from wiring.powerup.operated_stages import ready_setting
from wiring.powerup.step import Setting, Stage
from wiring.powerup.supplies import first_settings
from wiring.powerup.survey import Pair, pairs_of

#: What is seen to have power: by its lamp, or because it turns (common practice).
_SHOWING = (Supply, Converter, SafetyRelay, IoCard, Drive, Lamp, Fan)


def dark_branches(to: Builder) -> None:
    """Something that lights or turns behind every device that is out, once its line side is live: with every branch
    open, for those that are not looked at later with others in."""
    told = {name for name, _ in _before_each(to)}
    for setting in (to.survey.only(), *(setting for _, setting in first_settings(to))):
        found = [name for name in to.survey.devices if name not in told and _showing(to, setting, name)]
        _see_dark(to, Stage.SUPPLIES, setting, found, "Lamps and motion while every branch is open")
        told.update(found)


def dark_beside_others(to: Builder) -> None:
    """The same behind what is still out while the branches before it are in, so that a bridge from one of them shows
    too: behind the lines of that position."""
    later = list(_before_each(to))
    for setting in dict.fromkeys(setting for _, setting in later):
        known = len(to.lines)
        names = [name for name, before in later if before == setting]
        _see_dark(to, Stage.BRANCHES, setting, names, "Lamps and motion of branches that are still open")
        at = max(n for n, line in enumerate(to.lines[:known]) if line.setting == setting) + 1
        to.lines = [*to.lines[:at], *to.lines[known:], *to.lines[at:known]]


def _before_each(to: Builder) -> Iterator[tuple[str, Setting]]:
    """Every device behind which something would light in the position before it goes in, the first ones left out."""
    stood = {line.setting for line in to.lines if line.stage is Stage.BRANCHES and not line.annex}
    known = {before for _, before, _ in positions(to)} & ({setting for _, _, setting in positions(to)} | stood)
    for group, before, _ in positions(to):
        yield from ((name, before) for name in group if before in known and _showing(to, before, name))


def _see_dark(to: Builder, stage: Stage, setting: Setting, devices: Iterable[str], row: str) -> None:
    for name in devices:
        pair = _showing(to, setting, name)
        assert pair is not None
        inside, kind = to.survey.only(*chain_of(to, name)), pair.kind or "DC"
        on_v = LIT * abs(to.run(inside).between(pair.a, pair.b, kind))
        at = f" at its input {pair.a[1]}" if not pair.takes_power else ""
        words = f"{named_part(to, pair)}: lamp or motion{at} while {name} is out"
        wrong = "a conductor goes past the protective device, or another branch is joined with this one"
        cell = f"{pair.part}{' ' + pair.a[1] if at else ''}, {name} out"
        to.is_on(stage, setting, None, (pair.a, pair.b), words, wrong, on_v, row=(row, cell))


def _showing(to: Builder, setting: Setting, device: str) -> Pair | None:
    """What would light or turn if a device were in that is out in a position with its line side live."""
    if not to.survey.poles([device]) <= setting.opened:
        return None
    run, lines = to.run(setting), [(device, pole.a) for pole in to.survey.devices[device].of(Pole)]
    fed = fed_pairs(to, to.survey.only(*chain_of(to, device)), device)
    for pair in (*fed, *_input_lamps(to, setting, device)):
        waits = (abs(run.between(line, end, pair.kind or "DC")) for line in lines for end in (pair.a, pair.b))
        if isinstance(to.design.parts[pair.part].data, _SHOWING) and max(waits) > LEAST_V:
            return pair
    return None


def _input_lamps(to: Builder, setting: Setting, device: str) -> Iterator[Pair]:
    """The inputs of cards with power of their own that a device would light at rest."""
    now, then = to.run(setting), to.run(to.survey.only(*chain_of(to, device)))
    for part in to.design.parts.values():
        if isinstance(part.data, IoCard):
            pairs = pairs_of(part)
            fed = [abs(now.between(pair.a, pair.b, pair.kind or "DC")) > LEAST_V for pair in pairs if pair.takes_power]
            lit = (pair for pair in pairs if not pair.takes_power and pair.a in to.survey.nodes_behind[device])
            yield from (pair for pair in lit if all(fed) and abs(then.between(pair.a, pair.b, "DC")) > LEAST_V)


def dead_loads(to: Builder) -> None:
    """What can hurt is dead while its fuses are out, also with the control reset: a drive is dark, others by meter."""
    wrong = "a conductor goes past the fuse or the contactor"
    ready = ready_setting(to)
    live = replace(ready, opened=to.survey.motor_wires)
    for name in sorted(to.survey.hazardous, key=lambda name: (not isinstance(to.design.parts[name].data, Drive), name)):
        part = to.design.parts[name]
        for pair in pairs_of(part):
            kind, ends = pair.kind or "DC", (pair.a, pair.b)
            takes_power = pair.takes_power and not pair.is_coil and not pair.is_logic
            takes_power = takes_power and not isinstance(part.data, Shaft)
            if not takes_power or abs(to.run(ready).between(*ends, kind)) > LEAST_V:
                continue
            words = f"{named_part(to, pair)}: dead while its fuse is out"
            on_v = LIT * abs(to.run(live).between(*ends, kind))
            if isinstance(part.data, Drive) and on_v > LEAST_V:
                row = ("Power lamps of drives while their fuses are out", lamp_of(to, pair))
                told = f"{named_part(to, pair)}: power lamp while its fuse is out"
                to.is_on(Stage.CONTROL, ready, None, ends, told, wrong, on_v, row=row)
            else:
                row = ("Loads dead while their fuses are out", f"{name} {pair.a[1]}")
                with to.annex(_feeder_is_dead(to, pair) or not _is_fed_past_a_pole(to, ready, pair)):
                    to.no_volts(Stage.CONTROL, ready, ends, kind, words, wrong, row=row)


def _is_fed_past_a_pole(to: Builder, setting: Setting, pair: Pair) -> bool:
    """Whether one conductor past one pole of a device that is out makes a load live: else no single fault shows."""
    poles = to.survey.poles(to.survey.ahead(pair.part)) & setting.opened
    runs = (to.operator.run(setting, fault=Fault(closed=frozenset({pole}))) for pole in sorted(poles))
    return any(abs(run.between(pair.a, pair.b, pair.kind or "DC")) > LEAST_V for run in runs)


def _feeder_is_dead(to: Builder, pair: Pair) -> bool:
    """Whether what is fed here hangs on a source alone that can hurt itself and is seen to be dead before it."""
    feeding = {rail.source for end in (pair.a, pair.b) for rail in to.design.roles.rails.get(end, ())}
    return bool(feeding) and pair.part not in feeding and feeding <= to.survey.hazardous & set(to.survey.sources)


def lamp_of(to: Builder, pair: Pair) -> str:
    """The lamp of a drive that tells of a pair of terminals: by the drive alone where it takes power at no other."""
    pairs = [one for one in pairs_of(to.design.parts[pair.part]) if one.takes_power and not one.is_coil]
    return pair.part if len(pairs) == 1 else f"{pair.part}, for {pair.a[1]}-{pair.b[1]}"
