"""Disconnection on an earth fault: the loop of every earthed part on the mains, expected and at most, measured where
there is least room (IEC 60204-1:2016, 18.2.3 lets the others be computed, from memory)."""

from __future__ import annotations

from math import inf

from wiring.circuit.model import Node, named
from wiring.design.fault.disconnection import Disconnection, measured_loop
from wiring.powerup.builder import Builder, practice
from wiring.powerup.drives import live_setting
from wiring.powerup.step import Expected, Meter, Sort, Stage, Who


def fault_loops(to: Builder) -> None:
    """The loop at the mains terminals of every part whose body is earthed; the expected value is the computed loop."""
    mains = to.design.plan.mains
    places = _places(to)
    if mains is None or not places:
        return
    known = mains.fault_current is not None or measured_loop(to.design.machine) is not None
    expected = {node: _expected(to, found, mains.earthing, known) for node, found in places}
    # The share of the supply is the same in all of them, and that of the machine was measured conductor by conductor.
    tightest = min((node for node, _ in places), key=lambda node: _room(expected[node]))
    for node, found in places:
        part, against = to.design.parts[node[0]], found.short.against
        # The plug of a motor is out: its loop is measured at the other end of its cable.
        wire = to.survey.conductor_at(node)
        red = to.survey.far_end(node) if wire and wire.id in to.survey.motor_wires else node
        setting = live_setting(to, [(red, against)])
        if setting is None:
            to.ask(f"{Stage.LOOP.number} {part.name}: not judged: no state of the plan makes {named(red)} live")
            continue
        with to.annex(node != tightest):
            to.add(
                Stage.LOOP,
                f"Loop at {part.title} ({part.name}): {named(red)} to {named(against)}",
                Meter.LOOP,
                expected[node],
                "a loose joint or a long, thin protective conductor: switch off; its body would stay live on a fault",
                Who.QUALIFIED,
                setting,
                probes=(red, against),
                test="disconnection",
            )


def _room(expected: Expected) -> float:
    """How far a loop is from the largest one allowed; the smallest stands for all."""
    return expected.high / expected.value if expected.value else inf


def _places(to: Builder) -> list[tuple[Node, Disconnection]]:
    """One terminal of each part at which a line conductor may touch its earthed body."""
    first: dict[str, tuple[Node, Disconnection]] = {}
    for node, found in to.design.faults.disconnections.items():
        if to.survey.conductor_at(node):
            first.setdefault(found.part, (node, found))
    return [first[name] for name in sorted(first)]


def _expected(to: Builder, found: Disconnection, earthing: str | None, known: bool) -> Expected:
    if earthing is None or not known:
        return Expected(Sort.UNJUDGED, words="not judged: `mains:` lacks earthing or fault_current")
    if earthing in ("TT", "IT"):
        words = f"not judged: in a {earthing} system the earth electrode decides; test the residual current device"
        return Expected(Sort.UNJUDGED, words=words)
    most = found.largest_cold_loop_ohm
    if most == inf:
        return Expected(Sort.UNJUDGED, words="not judged: the device in front of it has no known time")
    loop = found.short.cold_ohm
    words = f"{_opens(to, found)} at {found.short.lowest.initial_a:.3g} A; {_asked(found)}"
    return Expected(Sort.VALUE, loop, loop * (1.0 - practice("loop_spread")), most, words)


def _opens(to: Builder, found: Disconnection) -> str:
    clearing = found.clearing
    if found.residual and not found.by_overcurrent:
        return f"{found.residual} opens on the residual current"
    device = clearing.device if clearing.device in to.design.parts else "the device in front of the machine"
    return f"{device} opens in {clearing.latest_s:.2g} s" if clearing.latest_s < inf else "no device opens"


def _asked(found: Disconnection) -> str:
    if found.residual and not found.by_overcurrent:
        return f"{found.residual_a:.3g} A are needed"
    time = f" for {found.limit.value:g} s" if found.limit and found.limit.unit == "s" else ""
    return f"{found.least_a:.3g} A are needed{time}"
