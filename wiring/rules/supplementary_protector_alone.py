"""A supplementary protector stands where a branch device is asked for.

A supplementary protector (`standard: supplementary`), a miniature or a midget fuse is made for use inside equipment,
behind a branch device: it need not stand the short circuits of a supply circuit, and it promises no time. The
conductors of a power circuit on the mains are guarded by a branch circuit breaker or a branch circuit fuse, which may
not be larger than they allow, nor than the maker of a drive allows in front of it (`max_fuse`). A supplementary
protector may stand behind it, but does not count.

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
from wiring.design.conductor.overload_protection import allowed_rating_alone
from wiring.design.device.branch_devices import branch_rating_a, supplementary_device
from wiring.findings import Number
from wiring.parts.drives import Drive
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="supplementary-protector-alone",
    title="Supplementary protector stands for a branch device",
    signal=Signal.WARNING,
    harm="In a short circuit the protector may burst or weld, and its conductors burn until the next device opens.",
    sources=(("na", nfpa_79("7.2.9, 7.2.10")),),
)


_SHEET = Source("data of the part", "", "max_fuse", Standing.ONE_SOURCE)


def check(design: Design) -> Judgements:
    """Every conductor of a power circuit on the mains whose nearest device is supplementary, told for each device."""
    if design.plan.rulebook != "na":
        return
    bare: dict[str, list[tuple[str, Limit]]] = {}
    for conductor in design.circuit.conductors:
        device = supplementary_device(design, conductor)
        limit = _allowed(design, conductor) if device else None
        if limit is not None and branch_rating_a(design, conductor) > limit.value * (1 + 1e-9):
            bare.setdefault(device, []).append((conductor.id, limit))
    for device, rows in sorted(bare.items()):
        yield _finding(design, device, rows)


def _allowed(design: Design, conductor: Conductor) -> Limit | None:
    """The largest branch device that a conductor and the drive at its end bear."""
    own = allowed_rating_alone(design.loading, design.faults, conductor.id)
    drives = (design.parts[name].data for name, _ in conductor.ends)
    fuses = (data.max_fuse for data in drives if isinstance(data, Drive) and data.max_fuse is not None)
    return min(
        (*([own] if own else ()), *(Limit(one, "A", _SHEET) for one in fuses)), key=lambda one: one.value, default=None
    )


def _finding(design: Design, device: str, rows: list[tuple[str, Limit]]) -> Judgement:
    name, limit = min(rows, key=lambda row: (row[1].value, row[0]))
    conductor = design.circuit.conductor[name]
    branch_a = branch_rating_a(design, conductor)
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
            *([] if limit.source is _SHEET else [f"Or make {listed(names)} thick enough for {branch_a:.3g} A."]),
        ),
    )
