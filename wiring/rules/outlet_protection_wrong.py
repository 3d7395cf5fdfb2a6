"""A socket outlet is not protected as what people plug in needs it.

Its leads are carried about, worn and wet. In IEC a residual current device of 30 mA stands ahead of every outlet up to
32 A for ordinary persons (IEC 60364-4-41, 411.3.3); in North America class A ground-fault protection of 6 mA at most,
where NFPA 79 asks for it at the outlets of a machine and NEC 210.8 in the places that it names: outdoors, garages,
damp places, beside sinks and others. Every outlet has a contact of the protective conductor, and a device that is its
own, so that what is plugged in takes nothing else down, and no larger than the outlet.

Fires on fan-heater at J1
    parts.F9={kind: rcd, rated: 16 A, rating: 15 A, curve: C, residual: 30 mA, type: A}
    parts.J1={kind: socket-outlet, rated: 15 A, feeds: 120 V AC 1 A}
    wires+={wire: J1, from: Q1:2, to: F9:1, type: line}
    wires+={wire: J2, from: Q1:4, to: F9:3, type: neutral}
    wires+={wire: J3, from: F9:2, to: J1:L, type: line}
    wires+={wire: J4, from: F9:4, to: J1:N, type: neutral}
    wires+={wire: J5, from: XPE:7, to: J1:PE, type: ground}
Quiet
    F9.residual=5 mA
Not judged
    Outlets whose `rated` the plan does not give; outlets without such a device where it does not say what the building
    has (`mains: {rcd: …}`), and those behind a transformer; a `load` that is called an outlet.
Known limits
    The place that the code names is not known: in North America every outlet up to 150 V and 50 A is told. An outlet
    that one person alone may use, under instruction, is not told apart. Marking and covers are for the inspection.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.device.outlets import Outlet, outlets
from wiring.design.edits import of_part
from wiring.findings import Mend, Number
from wiring.parts.loads import Load
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import largest_branch_a, tabled
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.rules.words import device_called
from wiring.wording import listed

RULE = Rule(
    slug="outlet-protection-wrong",
    title="Socket outlet without the protection that it needs",
    signal=Signal.WARNING,
    harm="A worn lead or a wet tool kills before anything opens, or the outlet burns at a current that it never bore.",
    sources=(("iec", iec_60204("15.1")), ("na", nfpa_79("15.1"))),
)
#: As such devices are marked; class A opens between 4 and 6 mA.
_STEP = {"iec": "30 mA", "na": "5 mA"}
_CALLED = frozenset(("outlet", "outlets", "receptacle", "receptacles", "socket", "socket-outlet"))
_OPERATING = Source("IEC 60364-5-51", "", "512.1.2", Standing.FROM_MEMORY)


def check(design: Design) -> Judgements:
    """Every socket outlet above extra-low voltage."""
    found = list(outlets(design))
    for outlet in found:
        yield from _earth(design, outlet)
        yield from _residual(design, outlet)
        yield from _device(design, outlet)
    yield from RULE.ask((one.part.name for one in found if not one.on_mains), "what earths the source that feeds it")
    yield from RULE.ask(_perhaps(design), "whether it is an outlet that people plug into (`kind: socket-outlet`)")
    unrated = (one.part.name for one in found if one.data.rated is None)
    yield from RULE.ask(unrated, "the current that it is built for (`rated: 16 A`)")


def _perhaps(design: Design) -> Iterator[str]:
    """The loads that are called an outlet."""
    for part in design.parts.values():
        if isinstance(part.data, Load) and not _CALLED.isdisjoint(part.data.title.lower().split()):
            yield part.name


def _earth(design: Design, outlet: Outlet) -> Judgements:
    if "PE" not in outlet.data.poles:
        yield RULE.finding(
            (outlet.part.name,),
            f"{outlet.part.name} has no contact of the protective conductor",
            design.place(outlet.part.name, "poles"),
            mend=(f"Take an outlet with that contact for {outlet.part.name}, and lead it to the protective earth.",),
        )


def _residual(design: Design, outlet: Outlet) -> Judgements:
    """The residual current device, of the plan or of the building, that opens before a heart stops."""
    book, data = design.plan.rulebook, outlet.data
    most, bound = tabled(book, "outlet_residual_max"), tabled(book, "outlet_residual_up_to")
    lines = sum(pole not in ("N", "PE") for pole in data.poles)
    too_high = book == "na" and (lines > 1 or data.feeds.voltage.volts > tabled("na", "outlet_residual_volts").value)
    if not outlet.on_mains or too_high or (data.rated is not None and data.rated > bound.value):
        return
    mains = design.plan.mains
    building = mains.rcd if mains else None
    ahead = list(outlet.residual_a.values())
    if building is not None and building != "none" and building.residual is not None:
        ahead.append(building.residual)
    if any(amps <= most.value * 1e-3 for amps in ahead):
        return
    if not ahead and building != "none":
        missing = "whether the building has a residual current device ahead (`mains: {rcd: {residual: 30 mA}}`, `none`)"
        yield RULE.not_judged((outlet.part.name,), missing, design.place(outlet.part.name))
        return
    yield _unguarded(design, outlet, most, min(ahead, default=None))


def _unguarded(design: Design, outlet: Outlet, most: Limit, least_a: float | None) -> Judgement:
    name = outlet.part.name
    finest = min(outlet.residual_a, key=lambda one: outlet.residual_a[one], default=None)
    words = "no residual current device" if least_a is None else f"{least_a * 1e3:.3g} mA as the most sensitive device"
    step = _STEP[design.plan.rulebook]
    return RULE.finding(
        (name, *((finest,) if finest else ())),
        f"{name} has {words} ahead; {step} protect whoever holds what is plugged in",
        design.place(name),
        numbers=() if least_a is None else (Number("residual", least_a * 1e3, "mA", finest or "the building"),),
        limit=most,
        mend=_guards(name, finest, step),
    )


def _guards(name: str, finest: str | None, step: str) -> Iterator[str | Mend]:
    if finest:
        yield Mend(f"Take a device of {step} for {finest}.", of_part(finest, "residual", step))
    yield f"Put a residual current device of {step} right ahead of {name}, in all its live conductors."


def _device(design: Design, outlet: Outlet) -> Judgements:
    name, device, rated = outlet.part.name, outlet.device, outlet.data.rated
    if device is None:
        if outlet.on_mains:
            yield RULE.not_judged((name,), "a device that limits its current", design.place(name))
        return
    called = device_called(design, device.part, first=True)
    own = (device.part,) if device.part in design.parts else ()
    most_a = _most_a(design, rated) if rated else None
    if most_a is not None and device.rating_a > most_a * (1 + 1e-9):
        yield RULE.finding(
            (name, *own),
            f"{called} ahead of {name} is rated {device.rating_a:.3g} A, and the outlet {rated:.3g} A",
            design.place(device.part, "rating") if own else design.place(name, "rated"),
            numbers=(Number("device", device.rating_a, "A", device.part),),
            limit=Limit(most_a, "A", _OPERATING, "what the outlet bears"),
            mend=(f"Put a device of {most_a:.3g} A at most ahead of {name}, or take an outlet for more.",),
        )
    if outlet.beside:
        yield RULE.finding(
            (name, *own, *outlet.beside),
            f"{called} feeds {listed(outlet.beside)} beside {name}: what is plugged in takes them down",
            design.place(name),
            signal=Signal.CAUTION,
            mend=(f"Give {name} a device of its own.",),
        )


def _most_a(design: Design, rated_a: float) -> float:
    """The largest device ahead of an outlet [A]."""
    return largest_branch_a(rated_a) if design.plan.rulebook == "na" else rated_a
