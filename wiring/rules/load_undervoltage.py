"""A load does not run because the voltage that reaches it is below its least.

A drive or converter has a voltage below which it does nothing, and a coil one below which it does not attract (85 % of
its rating). Judged in every state, and with all moving axes accelerating at once, when rails dip most. What a coil
keeps hold of is less than what it needs to attract: a coil that would only hold is told as well. A coil that no state
feeds is judged by the most that the outputs and contacts on its way can give it. The logic of a card, controller or
drive works down to 85 % of the voltage that it is made for.

Fires on sorting-gate at K1
    K1.coil=48 V DC 1 W
Quiet
    K1.coil=24 V DC 1 W
Not judged
    Nothing of its own.
Known limits
    A load whose wires alone lose too much is told by `voltage-drop-too-high`, one on an overloaded supply by
    `supply-overloaded`, and a drive on a rail below its window by `drive-voltage-outside-window`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from wiring.design.edits import for_voltage
from wiring.design.levels import worst_volts
from wiring.design.reachable import reachable_volts
from wiring.findings import Finding, Mend, Number
from wiring.parts.drives import LogicSupply
from wiring.parts.elements import Coil, Draw
from wiring.plan.edits import Edit
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing
from wiring.solver.assembly import ElementKey
from wiring.solver.operating import OperatingPoint
from wiring.wording import listed

RULE = Rule(
    slug="load-undervoltage",
    title="Too low a voltage for a load",
    signal=Signal.CAUTION,
    harm="It does not start, or drops out in motion.",
    sources=(
        ("iec", Source("IEC 60947-4-1", "2018", "pick-up at 85 % of the rated voltage", Standing.FROM_MEMORY)),
        ("na", Source("NEMA ICS 2", "2000", "pick-up at 85 % of the rated voltage", Standing.FROM_MEMORY)),
    ),
)
#: Below this share of its least voltage a load counts as not fed at all, which is no fault of its supply (own choice).
_FED_SHARE = 0.2
#: Below this nothing feeds a coil [V]: what leaks through inputs and open outputs (own choice).
_FED_V = 0.5
_LOGIC_LOWEST = tabled("common", "logic_lowest")


@dataclass(frozen=True, slots=True)
class _Low:
    part: str
    state: str
    volts: float
    least_v: float
    what: str


def check(design: Design) -> Judgements:
    """Every load that a state feeds too low, once, in the first state in which it is."""
    low: dict[str, _Low] = {}
    for points, moment in ((design.states, ""), (design.peaks, " while all its axes accelerate")):
        for state, point in points.items():
            for found in (
                *_locked_out(design, state, point, moment),
                *_coils(design, state, point),
                *_logic(design, state, point),
            ):
                low.setdefault(found.part, found)
    misfits = list(_never_attracted(design))
    for found in misfits:
        low.setdefault(found.part, found)
    never = {found.part for found in misfits}
    for found in low.values():
        yield _item(design, found, found.part in never)


def _item(design: Design, low: _Low, misfit: bool) -> Item:
    """A load by its source and what it needs; a coil that no state attracts answers for what it would feed as well."""
    source = _source(design, low.part)
    rests = scope("part", low.part) | scope("supply", source) | scope("lost", low.part)
    holds = scope("part", low.part) | scope("misfit", *([low.part] if misfit else []))
    return Item((source, low.least_v, low.what), low, partial(_finding, design), holds, (rests,))


def _locked_out(design: Design, state: str, point: OperatingPoint, moment: str) -> Iterator[_Low]:
    for layer in (point.dc, point.ac):
        for locked in layer.solution.locked_out:
            load = layer.assembled.network.powers[locked.load]
            across = layer.solution.between(load.a, load.b)
            if across is None or (layer is point.dc and across.real < 0.0):
                continue  # reversed, which is told as such
            if locked.volts is not None and locked.volts > _FED_SHARE * load.lockout_v:
                key: ElementKey = layer.assembled.power_keys[locked.load]
                yield _Low(key[0], f"{state}{moment}", locked.volts, load.lockout_v, "runs from")


def _coils(design: Design, state: str, point: OperatingPoint) -> Iterator[_Low]:
    for part in design.parts.values():
        for element in part.of(Coil):
            assert isinstance(element, Coil)
            volts = point.between((part.name, element.a), (part.name, element.b), element.kind or "DC")
            if _FED_SHARE * element.pick_up_v < volts < element.pick_up_v * (1 - 1e-9):
                yield _Low(part.name, state, volts, element.pick_up_v, "attracts from")


def _never_attracted(design: Design) -> Iterator[_Low]:
    """Coils that no state attracts, at the most that a state, or the outputs and contacts on their way, give them."""
    for part in design.parts.values():
        for element in part.of(Coil):
            assert isinstance(element, Coil)
            if not element.inductive or worst_volts(design.operation, part, element, element.kind or "DC")[0] > _FED_V:
                continue
            wrong_kind = "DC" if element.kind == "AC" else "AC"
            given = [one.volts for one in reachable_volts(design.machine, design.operation, part, element)]
            given.append(worst_volts(design.operation, part, element, wrong_kind)[0])
            if _FED_V < max(given) < element.pick_up_v * (1 - 1e-9):
                yield _Low(part.name, "", max(given), element.pick_up_v, "attracts from")


def _logic(design: Design, state: str, point: OperatingPoint) -> Iterator[_Low]:
    for part in design.parts.values():
        for key in ("supply", "logic"):
            logic = getattr(part.data, key, None)
            if isinstance(logic, LogicSupply):
                a, b = ((part.name, part.data.terminals.get(end, end)) for end in logic.between)
                volts, least_v = point.between(a, b, "DC"), _LOGIC_LOWEST.value * logic.voltage.volts
                if _FED_SHARE * least_v < volts < least_v * (1 - 1e-9):
                    yield _Low(part.name, state, volts, least_v, "works from")


def _source(design: Design, part: str) -> str:
    return next((short.origin.part for short in design.short_circuits.at_part.get(part, ())), "")


def _of_rail(design: Design, rows: Sequence[_Low]) -> tuple[Edit, ...]:
    """Coils and loads for the voltage there is, where each says its own."""
    found: list[Edit] = []
    for row in rows:
        part = design.parts[row.part]
        kind = next((e.kind for e in part.of(Coil, Draw) if isinstance(e, Coil | Draw) and e.kind), "DC")
        key = "coil" if design.reading.node("parts", part.name, "coil") is not None else "rated"
        edits = for_voltage(design, part, key, row.volts, kind)
        if not edits:
            return ()
        found += edits
    return tuple(found)


def _finding(design: Design, rows: Sequence[_Low]) -> Finding:
    worst = min(rows, key=lambda row: (row.volts, row.part))
    names = [row.part for row in rows]
    when = f"in state {worst.state}" if worst.state else "when it is switched on"
    source = _LOGIC_LOWEST.source if worst.what == "works from" else RULE.source(design.plan.rulebook)
    return RULE.finding(
        names,
        f"{listed(names)} get{'' if len(names) > 1 else 's'} {worst.volts:.3g} V {when}, "
        f"and {worst.part} {worst.what} {worst.least_v:.3g} V",
        design.place(worst.part),
        numbers=(Number("voltage", worst.volts, "V", f"across {worst.part}"),),
        limit=Limit(worst.least_v, "V", source) if source else None,
        mend=(
            f"Feed {listed(names)} with a voltage that leaves {worst.least_v:.3g} V at the load.",
            Mend("Or take parts that are rated for the voltage of this rail.", _of_rail(design, rows)),
        ),
    )
