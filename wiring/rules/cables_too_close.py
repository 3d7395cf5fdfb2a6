"""Cables that disturb run beside cables that listen.

Motor conductors of drives and mains conductors disturb; conductors of signals listen. Routes that hold them are taken
with the distance that the plan gives (`apart`), and one route that holds both with none. The distances are those that
makers of drives ask for; a screen around the motor cable lowers them, and so does, beside mains of 50 or 60 Hz, one
around the signals, or an input for 24 V and more that reads contacts through its filter. Runs of up to a metre need no
distance.

Fires on sorting-gate at tray
    routes.tray={kind: tray, at: machine}
    C1.route=tray
    C2.route=tray
    C2.shield=
Quiet
    routes.loom={kind: loom, at: machine, apart: {tray: 300 mm}}
    C1.route=loom
Not judged
    Routes at one place whose distance the plan does not give; conductors without a route.
Known limits
    Crossings at a right angle, and dividers of metal in a duct, are not known to the plan. A screen counts even where
    it is bonded nowhere, because `shield-floating` tells that.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import count

from wiring.circuit.model import Conductor
from wiring.design.edits import of_conductors
from wiring.design.enclosure.lanes import distance_m, floating_screens, lanes_of, widest_separation
from wiring.findings import Cause, Mend, Number
from wiring.plan.edits import AddEntry, Edit, SetValue, scalar
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.signals import signal_limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="cables-too-close",
    title="Signals run too close to power",
    signal=Signal.CAUTION,
    harm="Lost or extra steps, phantom limits and stops, and an axis that is not where the program thinks.",
    sources=(("both", trade_practice("drive makers ask for 100 to 300 mm")),),
)


def check(design: Design) -> Judgements:
    """Every route with signals against every route with power."""
    short = signal_limit("short_parallel_run_max").value
    lanes = lanes_of(design)
    unknown: set[str] = set()
    for quiet_name, quiet in sorted(lanes.items()):
        for loud_name, loud in sorted(lanes.items()):
            worst = widest_separation(quiet, loud, short) if quiet.quiet else None
            if worst is None:
                continue
            sort, listening, limit = worst
            apart = distance_m(design, quiet_name, loud_name)
            if apart is None:
                if design.plan.routes[quiet_name].at == design.plan.routes[loud_name].at:
                    unknown |= {quiet_name, loud_name}
            elif apart * 1000.0 < limit.value * (1 - 1e-6):
                signals = quiet_name, quiet.quiet[listening]
                yield _finding(design, signals, (loud_name, loud.loud[sort]), apart, sort, limit)
    yield from RULE.ask(unknown, "how far these routes lie apart (`apart: {other-route: 200 mm}`)")


def _apart_words(design: Design, signals: tuple[str, list[Conductor]], loud: str, sort: str, limit: Limit) -> Mend:
    quiet, conductors = signals
    words = f"Lay the signals {limit.value:.3g} mm away, in a route of their own (`apart`), crossing at a right angle."
    words += " A screened motor cable needs less." if sort.startswith("unscreened motor") else ""
    both = [(a, b) for a, b in ((quiet, loud), (loud, quiet)) if design.plan.routes[a].apart.get(b) is not None]
    text = f"{limit.value:g} mm"
    if quiet == loud:
        return Mend(words, _own_route(design, conductors, loud, text))
    return Mend(words, tuple(SetValue(("routes", a, "apart", b), text) for a, b in both if a != b))


def _own_route(design: Design, signals: Sequence[Conductor], loud: str, text: str) -> tuple[Edit, ...]:
    """Signals in a route like that of what disturbs them, and apart from it."""
    name = next(free for n in count(1) if (free := f"signals-{n}") not in design.plan.routes)
    like = design.plan.routes[loud]
    entry = f"{{kind: {like.kind}, at: {like.at}, apart: {{{scalar(loud)}: {text}}}}}"
    added = AddEntry(("routes",), name, entry, list(design.plan.routes)[-1])
    return (added, *of_conductors(design, signals, "route", name))


def _finding(
    design: Design,
    quiet: tuple[str, list[Conductor]],
    loud: tuple[str, list[Conductor]],
    apart: float,
    sort: str,
    limit: Limit,
) -> Judgement:
    conductor = quiet[1][0]
    names = sorted({c.cable or c.id for c in quiet[1]})
    loud_names = sorted({c.cable or c.id for c in loud[1]})
    shown = ", ".join(names[:4]) + (" …" if len(names) > 4 else "")
    where = f"in {quiet[0]} itself" if quiet[0] == loud[0] else f"{apart * 1000:.3g} mm from {loud[0]}"
    return RULE.finding(
        (quiet[0], loud[0], *names, *loud_names) if quiet[0] != loud[0] else (quiet[0], *names, *loud_names),
        f"Signals {shown} run {where} with {sort} conductors {', '.join(loud_names[:4])}; "
        f"{limit.value:.3g} mm are asked",
        design.reading.place("routes", quiet[0]) if quiet[0] != loud[0] else conductor.place,
        because=[Cause(loud[1][0].place, "what disturbs")],
        numbers=(Number("apart", apart, "m", f"{quiet[0]} and {loud[0]}"),),
        limit=Limit(limit.value / 1000.0, "m", limit.source, limit.note),
        mend=(_apart_words(design, quiet, loud[0], sort, limit),),
        rests=(scope("cable", *floating_screens(design, loud[1])),),
    )
