"""A supplementary protector stands where a branch device is asked for.

A supplementary protector (`standard: supplementary`), a miniature or a midget fuse is made for use inside equipment,
behind a branch device: it need not stand the short circuits of a supply circuit, and it promises no time. The
conductors of a power circuit on the mains are guarded by a branch circuit breaker or a branch circuit fuse, which may
not be larger than they allow. A supplementary protector may stand behind it, but does not count.

Fires on fan-heater at F2
    F2={kind: breaker, rating: 10 A, curve: C, standard: supplementary}
    7.size=14 AWG
Quiet
    7.size=10 AWG
Not judged
    Conductors without a size, and mains of which the plan does not know the device in front.
Known limits
    Circuits behind a transformer or a supply are control circuits here, for which a supplementary protector may serve.
    An overload device that is marked for a group of motors is no branch device here.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.allowed_rating import allowed_rating_alone
from wiring.design.conductor_use import use_of
from wiring.design.devices import UPSTREAM
from wiring.design.fault_paths import MAINS
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.parts.protection import Breaker, Fuse
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.fuses import is_branch_class
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="supplementary-protector-alone",
    title="Supplementary protector stands for a branch device",
    signal=Signal.CAUTION,
    harm="In a short circuit the protector may burst or weld, and its conductors burn until the next device opens.",
    sources=(("na", nfpa_79("7.2.9")),),
)


def check(design: Design) -> Judgements:
    """Every conductor of a power circuit on the mains whose nearest device is supplementary, told for each device."""
    if design.plan.rulebook != "na":
        return
    bare: dict[str, list[tuple[str, Limit]]] = {}
    for conductor in design.circuit.conductors:
        device = _supplementary(design, conductor)
        limit = allowed_rating_alone(design.loading, design.faults, conductor.id) if device else None
        if device and limit is not None and _branch_a(design, conductor) > limit.value * (1 + 1e-9):
            bare.setdefault(device, []).append((conductor.id, limit))
    for device, rows in sorted(bare.items()):
        yield _finding(design, device, rows)


def is_supplementary(part: Part) -> bool:
    """Whether a device is made for use behind a branch device only."""
    data = part.data
    if isinstance(data, Breaker):
        return data.standard == "supplementary"
    return isinstance(data, Fuse) and data.class_ is not None and not is_branch_class(data.class_)


def _devices(design: Design, conductor: Conductor) -> tuple[str, ...]:
    """The devices on the way of a conductor from the mains, those of the source first."""
    paths = design.short_circuits.paths
    ways = [paths.hot[end] for end in conductor.ends if end in paths.hot]
    if not ways or any(paths.origins[way.origin].part != MAINS for way in ways):
        return ()
    return min((way.devices for way in ways), key=len)


def _supplementary(design: Design, conductor: Conductor) -> str:
    """The nearest device of a power conductor where that is supplementary, "" otherwise."""
    if conductor.kind == "shield" or use_of(design.machine, conductor) != "power":
        return ""
    own = [name for name in _devices(design, conductor) if name in design.parts]
    guards = [name for name in own if isinstance(design.parts[name].data, Breaker | Fuse)]
    return guards[-1] if guards and is_supplementary(design.parts[guards[-1]]) else ""


def _branch_a(design: Design, conductor: Conductor) -> float:
    """Rating of the nearest branch device in front of a conductor [A], 0 where none is known."""
    for name in reversed(_devices(design, conductor)):
        known = design.short_circuits.known.get(name)
        branch = name == UPSTREAM or (
            name in design.parts
            and isinstance(design.parts[name].data, Breaker | Fuse)
            and not is_supplementary(design.parts[name])
        )
        if known is not None and branch:
            return known.rating_a
    return 0.0


def _finding(design: Design, device: str, rows: list[tuple[str, Limit]]) -> Judgement:
    name, limit = min(rows, key=lambda row: (row[1].value, row[0]))
    conductor = design.circuit.conductor[name]
    branch_a = _branch_a(design, conductor)
    names = [row[0] for row in rows]
    return RULE.finding(
        (device, *names),
        f"{device} is a supplementary protector; the branch device in front of {listed(names)} has {branch_a:.3g} A, "
        f"and {limit.value:.3g} A are allowed",
        design.place(device),
        numbers=(Number("branch device", branch_a, "A", name), Number("allowed", limit.value, "A", name, limit.source)),
        limit=limit,
        mend=(
            f"Take a branch device for {device}: a branch circuit breaker, or a fuse of class CC, J, RK1, RK5 or T.",
            f"Or make {listed(names)} thick enough for {branch_a:.3g} A.",
        ),
    )
