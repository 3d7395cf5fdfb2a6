"""Two protective devices in a row may both open, or the wrong one.

Only the device next to a short circuit should open, so that the rest of the machine keeps its power and the fault is
found where it is. Judged at the highest short-circuit current behind both, for devices inside the machine; against the
device of the building only where that one is sure to open first.

Fires on sorting-gate at F4
    parts.F4={kind: fuse, rating: 2 A, class: gG, rated_voltage: 60 V DC, breaking: 1.5 kA}
    2.to=F4:1
    wires+={wire: 20, from: F4:2, to: X1:1, type: control}
Quiet
    F2.class=gG
    F2.rating=10 A
Not judged
    Devices on the mains when the plan gives no prospective fault current; devices whose class or curve is not given.
Known limits
    The standards' bands are wider than a maker's own curves: what is undecided here may be selective by those.
"""

from __future__ import annotations

from wiring.design.device.devices import UPSTREAM
from wiring.design.fault.origins import is_assumed
from wiring.design.fault.records import FAULT_CURRENT, DeviceFault
from wiring.findings import Cause, Number
from wiring.rulebooks.selectivity import Order, Selectivity, selective
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.rules.words import amperes
from wiring.wording import listed

RULE = Rule(
    slug="not-selective",
    title="More than the nearest protective device may open",
    signal=Signal.NOTICE,
    harm="A fault in one branch takes power from others, and is harder to find.",
    sources=(("both", Source("IEC 60364-5-53", "2019", "535, selectivity", Standing.FROM_MEMORY)),),
)


def check(design: Design) -> Judgements:
    """Every pair of devices in a row, told together for each upper device."""
    found: dict[str, list[tuple[str, Selectivity, float]]] = {}
    assumed: list[str] = []
    faults = design.short_circuits
    for row in faults.devices.values():
        upper = _upper(row)
        if upper is None or upper not in faults.known:
            continue
        if is_assumed(design, row.nearest):
            assumed.append(row.part)
            continue
        amps = row.nearest.highest.initial_a
        answer = selective(faults.known[upper], row.device, amps, row.nearest.dc)
        if answer.order is Order.WRONG or (answer.order is Order.UNDECIDED and upper != UPSTREAM):
            found.setdefault(upper, []).append((row.part, answer, amps))
    yield from RULE.ask(assumed, FAULT_CURRENT)
    for upper in sorted(found):
        yield _finding(design, upper, found[upper])


def _upper(row: DeviceFault) -> str | None:
    before = [name for name in row.nearest.devices if name != row.part]
    return before[-1] if before and row.nearest.devices[-1] == row.part else None


def _finding(design: Design, upper: str, rows: list[tuple[str, Selectivity, float]]) -> Judgement:
    names = [name for name, _, _ in rows]
    worst = next((row for row in rows if row[1].order is Order.WRONG), rows[0])
    name, answer, amps = worst
    verb = "opens before" if answer.order is Order.WRONG else "may open as soon as"
    known = design.short_circuits.known
    because = [Cause(design.place(upper), str(known[upper]))] if upper in design.parts else []
    title = "the device in front of the machine" if upper == UPSTREAM else upper
    return RULE.finding(
        (*names, *([upper] if upper in design.parts else ())),
        f"On a short circuit of {amperes(amps)} {title} {verb} {listed(names)}",
        design.place(name),
        because=because,
        numbers=(
            Number("earliest", answer.up_earliest_s, "s", f"{title}, {known[upper]}", answer.earliest_source),
            Number("latest", answer.down_latest_s, "s", f"{name}, {known[name]}", answer.latest_source),
        ),
        mend=(
            f"Take a larger or slower device for {title}, or a faster one for {name}; two fuses gG of a ratio of 2"
            " and more are selective.",
        ),
    )
