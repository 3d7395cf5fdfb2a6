"""Nothing limits the current of a conductor.

Every conductor that a source can feed needs a device, or a source that limits by itself, between the source and it.
A conductor behind a transformer, a rectifier or the mains without a device in front of it has none.

Fires on screw-axis at 1
    parts.F2=
    1.to=V1:AC1
    2=
Quiet
    parts.F2={kind: fuse, rating: 10 A, class: gG, rated_voltage: 250 V AC, breaking: 50 kA}
    1.to=F2:1
    wires+={wire: 2, from: F2:2, to: V1:AC1, type: secondary}
Not judged
    Conductors at the inlet, when the plan does not say which device stands in front of the machine.
Known limits
    A conductor of up to 3 m from a source to the first device is passed over (IEC 60204-1, 7.2.8).
"""

from __future__ import annotations

from math import inf

from wiring.design.allowed_rating import allowed_rating
from wiring.design.devices import conventional_operating_current
from wiring.design.rewiring import free_parts, free_wires, in_series, new_part, wires_at
from wiring.findings import Mend, Number
from wiring.parts.elements import Output
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse, MotorProtector
from wiring.plan.edits import Edit
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import Device
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.overcurrent import protects_conductor, standard_ratings
from wiring.rulebooks.steps import SMALL_UL_FUSE_A
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="conductor-unprotected",
    title="Nothing limits the current of a conductor",
    signal=Signal.WARNING,
    harm="A short circuit flows until something burns open.",
    sources=(("iec", iec_60204("7.2.3", Standing.ONE_SOURCE)), ("na", nfpa_79("7.2.3"))),
)
#: Length up to which a conductor may run from a source to the device that protects it [m].
TAP_LENGTH_M = tabled("iec", "tap_without_ocpd_length_max").value


def check(design: Design) -> Judgements:
    """Conductors whose protection has no limit, told together for each source."""
    open_ended: dict[str, list[str]] = {}
    for name, protection in design.protections.items():
        if protection.rating_a == inf and name in design.conductors:
            open_ended.setdefault(protection.part, []).append(name)
    for source, names in sorted(open_ended.items()):
        if source == "upstream":
            inlet = design.plan.mains.inlet if design.plan.mains else None
            yield RULE.not_judged(
                tuple(names),
                "the device in front of the machine (`mains: {upstream: {kind: …, rating: …}}`)",
                design.place(inlet) if inlet else None,
            )
            continue
        bare = [name for name in names if not _is_tap(design, name)]
        if bare:
            yield _finding(design, source, bare)


def _is_tap(design: Design, name: str) -> bool:
    """A short conductor between a source and the device that protects what follows."""
    conductor = design.circuit.conductor[name]
    short = conductor.length_m is not None and conductor.length_m <= TAP_LENGTH_M
    kinds = [design.parts[end[0]] for end in conductor.ends]
    at_source = any(any(isinstance(e, Output) for e in part.elements) for part in kinds)
    protected = any(isinstance(part.data, Fuse | Breaker | ElectronicFuse | MotorProtector) for part in kinds)
    return short and at_source and protected


def _finding(design: Design, source: str, names: list[str]) -> Judgement:
    conductor = design.circuit.conductor[names[0]]
    listed = ", ".join(names[:6]) + (" …" if len(names) > 6 else "")
    return RULE.finding(
        (*names, source),
        f"No device limits the current of {listed} behind {source}",
        conductor.place,
        numbers=(Number("conductors", float(len(names)), "", f"behind {source}"),),
        mend=(
            Mend(
                f"Put a fuse or breaker in the conductor that leaves {source}, no larger than the thinnest one behind "
                "it.",
                _fused(design, source, names),
            ),
        ),
    )


def _holds(design: Design, kind: str, rating: float, most: Limit) -> bool:
    """Whether a fuse protects a conductor, what it lets pass for ever with it."""
    opens = conventional_operating_current(Device("fuse", rating, kind), dc=False)
    return all(verdict.holds for verdict in protects_conductor(design.plan.rulebook, rating, opens, most))


def _fused(design: Design, source: str, names: list[str]) -> tuple[Edit, ...]:
    """A fuse right behind the pole of a source that is not earthed, as large as all conductors behind it allow."""
    allowed = [allowed_rating(design.loading, design.faults, name) for name in names]
    poles = [pole.node for pole in design.nets.poles if pole.source == source and pole.sign in ("+", "~")]
    poles = [node for node in poles if design.nets.of[node] not in design.nets.bonds_at and wires_at(design, node)]
    ratings = standard_ratings("iec", "fuse") if design.plan.rulebook == "iec" else SMALL_UL_FUSE_A
    kind = "gG" if design.plan.rulebook == "iec" else "CC"
    most = min((limit for limit in allowed if limit is not None), key=lambda limit: limit.value, default=None)
    fits = [one for one in ratings if most is not None and _holds(design, kind, one, most)]
    if not fits or not poles:
        return ()
    name, rating = next(free_parts(design, "F")), fits[-1]
    entry = f"kind: fuse, rating: {rating:g} A, class: {kind}, breaking: 20 kA"
    wired = in_series(design, poles[0], ((name, "1"), (name, "2")), free_wires(design))
    return (new_part(design, name, entry), *wired) if wired else ()
