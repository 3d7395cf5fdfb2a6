"""Disconnection on an earth fault: the loop of every earthed part on the mains, expected and at most."""

from __future__ import annotations

from math import inf

from wiring.circuit.model import Node, named
from wiring.design.clearing import clearing_of
from wiring.design.fault_paths import MAINS
from wiring.design.fault_records import Short
from wiring.powerup.builder import Builder, practice
from wiring.powerup.drives import with_power
from wiring.powerup.step import Expected, Meter, Sort, Stage, Who
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.devices import surely_opens_at

#: A loop measured cold may be this share of what lets the device open, because conductors get warm (IEC 60204-1, A.4,
#: from memory).
_COLD_SHARE = 2.0 / 3.0
#: A loop of low impedance lets pass this multiple of the rating of its device (common practice in North America).
_NA_MULTIPLE = 5.0


def fault_loops(to: Builder) -> None:
    """The loop at the mains terminals of every part whose body is earthed; the expected value is the computed loop."""
    mains = to.design.plan.mains
    places = _places(to)
    if mains is None or not places:
        return
    for node, short in places:
        part = to.design.parts[node[0]]
        action = f"Loop at {part.title} ({part.name}): {named(node)} to {named(short.against)}"
        to.add(
            Stage.DRIVES,
            action,
            Meter.LOOP,
            _expected(to, short, mains.earthing, mains.fault_current is not None),
            "a loose joint or a long, thin protective conductor: switch off; its body would stay live on a fault",
            Who.QUALIFIED,
            with_power(to, "", plugged=False, outputs=False),
            probes=(node, short.against),
            test="disconnection",
        )


def _places(to: Builder) -> list[tuple[Node, Short]]:
    """One terminal of each part at which a line conductor may touch its earthed body."""
    found: dict[str, tuple[Node, Short]] = {}
    for node, short in to.design.short_circuits.to_earth.items():
        own = short.origin.part == MAINS and short.against[0] == node[0] and short.origin.plus != node
        if own and to.survey.conductor_at(node):
            found.setdefault(node[0], (node, short))
    return [found[name] for name in sorted(found)]


def _expected(to: Builder, short: Short, earthing: str | None, known: bool) -> Expected:
    loop = short.cold_ohm
    if earthing is None or not known:
        return Expected(Sort.UNJUDGED, words="not judged: `mains:` lacks earthing or fault_current")
    if earthing in ("TT", "IT"):
        words = f"not judged: in a {earthing} system the earth electrode decides; test the residual current device"
        return Expected(Sort.UNJUDGED, words=words)
    clearing = clearing_of(to.design.short_circuits.known, short)
    most, asked = _most(to, short, earthing)
    if most == inf:
        return Expected(Sort.UNJUDGED, words="not judged: the device in front of it has no known time")
    device = clearing.device if clearing.device in to.design.parts else "the device in front of the machine"
    when = f"{device} opens in {clearing.latest_s:.2g} s" if clearing.latest_s < inf else "no device opens"
    low = loop * (1.0 - practice("loop_spread"))
    words = f"{when} at {short.lowest.initial_a:.3g} A; {asked}"
    return Expected(Sort.VALUE, loop, low, most, words)


def _most(to: Builder, short: Short, earthing: str) -> tuple[float, str]:
    """The largest loop [ohm] with which a device in front opens in time, and what is asked."""
    known = to.design.short_circuits.known
    devices = [known[name] for name in short.devices if name in known]
    if to.design.plan.rulebook == "na":
        needed = min((_NA_MULTIPLE * device.rating_a for device in devices), default=inf)
        return (short.volts / needed, f"{needed:.3g} A are needed") if needed < inf else (inf, "")
    best, words = 0.0, ""
    for device in devices:
        allowed = to.design.book.disconnection_time(earthing, "ac", short.volts, device.rating_a)
        if isinstance(allowed, NotTabled):
            continue
        needed = surely_opens_at(device, short.dc, allowed.value)
        if needed < inf and short.volts / needed > best:
            best, words = short.volts / needed, f"{needed:.3g} A are needed for {allowed.value:g} s"
    return (_COLD_SHARE * best, words) if best else (inf, "")
