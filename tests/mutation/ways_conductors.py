"""Breaks of conductors: dropped, thinned, moved, swapped, of the wrong colour, length, insulation or place."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from machine import Machine, Plan, Ref, put, remove
from ways import Break, way

EARTH_TYPES = ("earth", "earth-main", "earth-branch", "ground")
NEUTRAL_TYPES = ("neutral", "infeed-n")


def number(wire: Plan) -> int:
    """The number of a wire, 0 for a protective one: 1xx is mains and 2xx motor power in all four plans."""
    return int(wire["wire"]) if wire["wire"].isdecimal() else 0


def is_earth(wire: Plan) -> bool:
    return wire.get("type") in EARTH_TYPES


def bonds_a_rail(wire: Plan) -> bool:
    """Whether it earths a rail rather than metal: it then starts at a terminal block."""
    return is_earth(wire) and wire["to"].startswith("XPE")


def power_wires(machine: Machine) -> Iterator[tuple[int, Plan]]:
    return ((n, wire) for n, wire in machine.wires() if 100 <= number(wire) < 300)


def _inch(machine: Machine) -> bool:
    return machine.plan["rulebook"] == "na"


@way("wire dropped", "connections, earthing, stop or supply", "a wire that nobody misses would not be there")
def drop_wire(machine: Machine) -> Iterator[Break]:
    return (Break(wire["wire"], partial(remove, spot=("wires", n))) for n, wire in machine.wires())


@way("core dropped", "connections, earthing, stop", "what hangs on the core is open: a phase, a stop channel, an earth")
def drop_core(machine: Machine) -> Iterator[Break]:
    for n, cable in machine.cables():
        if len(cable["join"]) > 1:
            for core in cable["join"]:
                yield Break(f"{cable['cable']}.{core}", partial(remove, spot=("cables", n, "join", core)))


@way(
    "power wire thinned to 0.25 mm2 or 24 AWG",
    "conductors",
    "below the smallest size for power circuits (IEC 60204-1 table 5; NFPA 79 12.6) and behind 4 A or more",
    rows=(3,),
)
def thin_power(machine: Machine) -> Iterator[Break]:
    size = "24 AWG" if _inch(machine) else "0.25 mm2"
    return (Break(w["wire"], partial(put, spot=("wires", n, "size"), value=size)) for n, w in power_wires(machine))


@way("earth thinned to 0.5 mm2 or 20 AWG", "earthing", "below the smallest protective conductor (IEC 60204-1 table 1)")
def thin_earth(machine: Machine) -> Iterator[Break]:
    size = "20 AWG" if _inch(machine) else "0.5 mm2"
    for n, wire in machine.wires():
        if is_earth(wire) and not bonds_a_rail(wire):
            yield Break(wire["wire"], partial(put, spot=("wires", n, "size"), value=size))


@way("earth coloured black", "conductors: colour", "a protective conductor is green-and-yellow (IEC 60204-1 13.2.2)")
def earth_black(machine: Machine) -> Iterator[Break]:
    for n, wire in machine.wires():
        if is_earth(wire):
            yield Break(wire["wire"], partial(put, spot=("wires", n, "colour"), value="BK"))


@way(
    "live wire coloured green-and-yellow", "conductors: colour", "green-and-yellow is the protective conductor's alone"
)
def live_green(machine: Machine) -> Iterator[Break]:
    for n, wire in machine.wires():
        if not is_earth(wire):
            yield Break(wire["wire"], partial(put, spot=("wires", n, "colour"), value="GNYE"))


@way(
    "neutral coloured black", "conductors: colour", "the neutral is light blue (IEC 60204-1 13.2.3) or white (NFPA 79)"
)
def neutral_black(machine: Machine) -> Iterator[Break]:
    for n, wire in machine.wires():
        if wire.get("type") in NEUTRAL_TYPES:
            yield Break(wire["wire"], partial(put, spot=("wires", n, "colour"), value="BK"))


@way("power wire of 2 km", "protection, voltage drop", "4 mm2: 9 ohm, so 25 A at 230 V trip no C10 for minutes")
def long_power(machine: Machine) -> Iterator[Break]:
    """A residual current device clears earth faults all the same, and they do not pass the neutral."""
    guarded = any(True for _ in machine.of_kind("rcd"))
    for n, wire in power_wires(machine):
        if number(wire) < 200 and (guarded or wire["type"] in NEUTRAL_TYPES):
            continue
        yield Break(wire["wire"], partial(put, spot=("wires", n, "length"), value="2000 m"))


@way("insulation of mains wire for 50 V", "conductors: insulation", "120 V or 230 V on 50 V insulation")
def thin_insulation(machine: Machine) -> Iterator[Break]:
    for n, wire in machine.wires():
        if 100 <= number(wire) < 200:
            yield Break(wire["wire"], partial(put, spot=("wires", n, "rated"), value="50 V"))


@way("flexing cable of solid wire", "conductors", "class 1 breaks when bent for ever (IEC 60204-1 12.2)")
def rigid_cable(machine: Machine) -> Iterator[Break]:
    for n, cable in machine.cables():
        if cable.get("flexing") == "true":
            yield Break(cable["cable"], partial(put, spot=("cables", n, "conductor_class"), value="1"))


@way("signal wire in the mains duct", "segregation", "0.7 m side by side is short", meaningful=False)
def signal_with_mains(machine: Machine) -> Iterator[Break]:
    for n, wire in machine.wires():
        if wire.get("type") == "signal":
            yield Break(wire["wire"], partial(put, spot=("wires", n, "route"), value="duct-mains"))


@way("signal cable in the route of the motors", "segregation", "metres beside chopped motor current", rows=(19,))
def signal_with_motors(machine: Machine) -> Iterator[Break]:
    motors = next(c["route"] for _, c in machine.cables() if any("M1:" in end for p in c["join"].values() for end in p))
    for n, cable in machine.cables():
        ends = [end.partition(":")[0] for pair in cable["join"].values() for end in pair]
        if any(machine.kind(part) in ("limit-switch", "sensor") for part in ends):
            yield Break(cable["cable"], partial(put, spot=("cables", n, "route"), value=motors))


@way("length removed", "not judged", "drop and fault loop of that conductor are unknown", removes_data=True)
def no_length(machine: Machine) -> Iterator[Break]:
    for n, wire in power_wires(machine):
        if "length" in wire or "length" in machine.plan["wire_types"][wire["type"]]:
            yield Break(wire["wire"], partial(_without, n=n, key="length"))


@way("size removed", "not judged", "nothing of that conductor can be judged", removes_data=True)
def no_size(machine: Machine) -> Iterator[Break]:
    return (Break(w["wire"], partial(_without, n=n, key="size")) for n, w in power_wires(machine))


def _without(plan: Plan, n: int, key: str) -> None:
    wire = plan["wires"][n]
    kind = plan["wire_types"][wire.pop("type")]
    plan["wires"][n] = {k: v for k, v in {**kind, **wire}.items() if k != key}


def _swap(plan: Plan, a: Ref, b: Ref) -> None:
    put(plan, a.spot, b.text)
    put(plan, b.spot, a.text)


def swapped(machine: Machine, kinds: tuple[str, ...], first: str, second: str) -> Iterator[Break]:
    """Every part of these kinds with the conductors of two terminals changed over."""
    for id_, _ in machine.of_kind(*kinds):
        ones, others = machine.at(id_, first), machine.at(id_, second)
        if ones and others:
            yield Break(f"{id_}:{first} and {second}", partial(_swap, a=ones[0], b=others[0]))


@way("plus and minus swapped", "connections: polarity", "electronics fed the wrong way round", rows=(27,))
def swap_polarity(machine: Machine) -> Iterator[Break]:
    yield from swapped(machine, ("stepper-drive", "supply"), "V+", "V-")
    yield from swapped(machine, ("io-card", "controller", "servo-drive"), "24V", "0V")
    yield from swapped(machine, ("io-card",), "5V", "0V5")
    yield from swapped(machine, ("converter",), "IN+", "IN-")
    yield from swapped(machine, ("fan",), "+", "-")
    yield from swapped(machine, ("sensor",), "1", "3")


@way("step input swapped", "signals", "the diode of a 5 V input blocks: no pulse arrives")
def swap_step(machine: Machine) -> Iterator[Break]:
    for place in swapped(machine, ("stepper-drive", "servo-drive"), "STEP+", "STEP-"):
        if "signals" in machine.parts[place.where.partition(":")[0]]:
            yield place


@way("sensor output and supply swapped", "signals", "the input is held on, the sensor sees its own output as supply")
def swap_sensor(machine: Machine) -> Iterator[Break]:
    yield from swapped(machine, ("sensor",), "1", "4")


@way("motor coils crossed", "connections", "A+ and B+ changed over: each bridge feeds two different coils")
def cross_coils(machine: Machine) -> Iterator[Break]:
    yield from swapped(machine, ("stepper-motor",), "A+", "B+")


@way(
    "line and neutral swapped at the inlet",
    "conductors: colour, protection",
    "the breakers are in the neutral",
    rows=(7,),
)
def swap_mains(machine: Machine) -> Iterator[Break]:
    yield from swapped(machine, ("inlet",), "L", "N")
    yield from swapped(machine, ("inlet",), "L1", "N")


@way("line and earth swapped at the inlet", "earthing, protection", "every metal part is live")
def swap_earth(machine: Machine) -> Iterator[Break]:
    yield from swapped(machine, ("inlet",), "L", "PE")
    yield from swapped(machine, ("inlet",), "L1", "PE")


@way("ends of a contact swapped", "none", "a contact has no direction", meaningful=False)
def swap_contact(machine: Machine) -> Iterator[Break]:
    yield from swapped(machine, ("emergency-stop", "guard-switch", "limit-switch", "push-button"), "11", "12")


@way(
    "motor turns the other way", "none", "A+ and A- changed over turns a stepper round, nothing else", meaningful=False
)
def swap_coil(machine: Machine) -> Iterator[Break]:
    yield from swapped(machine, ("stepper-motor",), "A+", "A-")


def _moved(machine: Machine, ref: Ref) -> str | None:
    """The next higher terminal number of the same part where it exists and is another potential."""
    if not ref.terminal.isdecimal() or machine.kind(ref.part) not in ("terminals", "breaker", "fuse", "disconnector"):
        return None
    step = 2 if machine.kind(ref.part) in ("breaker", "disconnector") else 1
    target = str(int(ref.terminal) + step)
    if machine.at(ref.part, target) and target not in machine.bridged(ref.part, ref.terminal) | {ref.terminal}:
        return f"{ref.part}:{target}"
    return None


@way(
    "end moved to the neighbouring terminal", "connections, protection, stop", "it lands on another potential or signal"
)
def move_end(machine: Machine) -> Iterator[Break]:
    for ref in machine.refs():
        target = _moved(machine, ref)
        if target:
            yield Break(f"{ref.conductor} to {target}", partial(put, spot=ref.spot, value=target))


@way("end moved along a bridge", "none", "the same potential; a clamp may hold one too many", meaningful=False)
def move_along(machine: Machine) -> Iterator[Break]:
    for ref in machine.refs():
        if machine.kind(ref.part) == "terminals":
            others = sorted(machine.bridged(ref.part, ref.terminal) - {ref.terminal}, key=int)
            if others:
                value = f"{ref.part}:{others[0]}"
                yield Break(f"{ref.conductor} to {value}", partial(put, spot=ref.spot, value=value))


@way("input moved to the next input", "none", "two devices on one input and a spare input are legal", meaningful=False)
def move_input(machine: Machine) -> Iterator[Break]:
    for ref in machine.refs():
        if ref.terminal.startswith("I") and ref.terminal[1:].isdecimal():
            value = f"{ref.part}:I{int(ref.terminal[1:]) + 1}"
            if machine.at(ref.part, value.partition(":")[2]):
                yield Break(f"{ref.conductor} to {value}", partial(put, spot=ref.spot, value=value))
