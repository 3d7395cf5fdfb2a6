"""Breaks of earthing: dropped, switched, shared, bonded twice, shields, residual current devices, process returns."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from machine import Machine, Plan, get, put, remove, set_part
from ways import Break, way
from ways_conductors import bonds_a_rail, is_earth


@way("earth dropped", "earthing", "exposed metal or a class I device without its protective conductor", rows=(1,))
def drop_earth(machine: Machine) -> Iterator[Break]:
    for n, wire in machine.wires():
        if is_earth(wire) and not bonds_a_rail(wire):
            yield Break(wire["wire"], partial(remove, spot=("wires", n)))
    for n, cable in machine.cables():
        if "GNYE" in cable["join"]:
            yield Break(f"{cable['cable']}.GNYE", partial(remove, spot=("cables", n, "join", "GNYE")))


@way("earth through a switch", "earthing", "a protective conductor must not be switched (IEC 60204-1 8.2.3)", rows=(1,))
def switch_earth(machine: Machine) -> Iterator[Break]:
    for n, wire in machine.wires():
        if is_earth(wire) and not bonds_a_rail(wire):
            yield Break(wire["wire"], partial(_through_switch, n=n))


def _through_switch(plan: Plan, n: int) -> None:
    wire = plan["wires"][n]
    plan["parts"]["S99"] = {"kind": "selector", "contacts": {"13-14": "NO"}}
    plan["wires"].append({**wire, "wire": "PE99", "from": "S99:14"})
    wire["to"] = "S99:13"


@way("earth of a control rail dropped", "earthing", "IEC 60204-1 9.4.3.1: no earth fault of it is seen", rows=(8,))
def drop_bond(machine: Machine) -> Iterator[Break]:
    for n, wire in machine.wires():
        if bonds_a_rail(wire) and wire["from"].startswith(("X2", "X7")):
            yield Break(wire["wire"], partial(remove, spot=("wires", n)))


@way(
    "second earth of a rail", "earthing: bonded twice", "load current also flows in the protective conductor", rows=(8,)
)
def second_bond(machine: Machine) -> Iterator[Break]:
    point = machine.free_point()
    for n, wire in machine.wires():
        if bonds_a_rail(wire) and not wire["from"].startswith("X0"):
            block, _, used = wire["from"].partition(":")
            there = min(machine.bridged(block, used) - {used}, key=int)
            extra = {**wire, "wire": "PE98", "from": f"{block}:{there}", "to": f"XPE:{point}"}
            yield Break(f"{wire['wire']} again at {block}:{there} (wire {n})", partial(_add, wire=extra))


def _add(plan: Plan, wire: Plan) -> None:
    plan["wires"].append(dict(wire))


@way(
    "two earths at one terminal", "earthing: shared terminal", "one protective conductor a terminal (IEC 60204-1 8.2.4)"
)
def share_point(machine: Machine) -> Iterator[Break]:
    for ref in machine.refs():
        if ref.part == "XPE":
            value = f"XPE:{int(ref.terminal) + 1}"
            if machine.at("XPE", str(int(ref.terminal) + 1)):
                yield Break(f"{ref.conductor} to {value}", partial(put, spot=ref.spot, value=value))


@way("neutral joined to earth", "earthing: neutral", "neutral current in all metal; a residual current device trips")
def neutral_to_earth(machine: Machine) -> Iterator[Break]:
    point = machine.free_point()
    like = next(wire for _, wire in machine.wires() if is_earth(wire))
    for ref in machine.refs():
        if ref.text in ("X0:N", "Z1:N", "Z1:N'", "Q1:4") and _carries_neutral(machine, ref.conductor):
            wire = {**like, "wire": "PE97", "from": ref.text, "to": f"XPE:{point}"}
            yield Break(f"{ref.text} ({ref.conductor})", partial(_add, wire=wire))


def _carries_neutral(machine: Machine, number: str) -> bool:
    return any(w["wire"] == number and w.get("type") in ("neutral", "infeed-n") for _, w in machine.wires())


@way("motor shield left open", "shields", "a chopped motor current's return path and screen is gone", rows=(20,))
def open_shield(machine: Machine) -> Iterator[Break]:
    for n, cable in machine.cables():
        if "shield" in cable and _feeds_a_motor(machine, n):
            yield Break(cable["cable"], partial(put, spot=("cables", n, "shield"), value={"ends": []}))


@way("sensor shield left open", "shields", "a shield bonded nowhere couples instead of shielding", rows=(20,))
def open_sensor_shield(machine: Machine) -> Iterator[Break]:
    for n, cable in machine.cables():
        if "shield" in cable and not _feeds_a_motor(machine, n):
            yield Break(cable["cable"], partial(put, spot=("cables", n, "shield"), value={"ends": []}))


@way(
    "motor shield at one end", "shields", "the shield of an inverter or servo motor is bonded at both ends", rows=(20,)
)
def one_end(machine: Machine) -> Iterator[Break]:
    for n, cable in machine.cables():
        ends = cable.get("shield", {}).get("ends", [])
        if len(ends) == 2 and _feeds_a_motor(machine, n, ("servo-motor", "motor")):
            yield Break(cable["cable"], partial(put, spot=("cables", n, "shield", "ends"), value=ends[:1]))


_MOTORS = ("stepper-motor", "servo-motor", "motor")


def _feeds_a_motor(machine: Machine, n: int, kinds: tuple[str, ...] = _MOTORS) -> bool:
    ends = [end.partition(":")[0] for pair in machine.plan["cables"][n]["join"].values() for end in pair]
    return any(machine.kind(part) in kinds for part in ends)


@way(
    "residual current device of type AC",
    "earthing: residual current",
    "blind to the pulsating current of rectifiers",
    rows=(21,),
)
def rcd_type_ac(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("rcd"):
        yield Break(id_, partial(set_part, part=id_, type="AC"))


@way(
    "filter leaks 50 mA",
    "earthing: leakage",
    "above 10 mA with one thin earth; above half of a 30 mA device",
    rows=(21,),
)
def leaking_filter(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("filter"):
        yield Break(id_, partial(set_part, part=id_, leakage="50 mA"))


@way("TT supply without residual current device", "protection: earth fault", "an earth of some ohms trips no breaker")
def tt_supply(machine: Machine) -> Iterator[Break]:
    if not any(True for _ in machine.of_kind("rcd")):
        yield Break("mains", partial(put, spot=("mains", "earthing"), value="TT"))


@way(
    "hot-wire current returns through earth",
    "process",
    "work current in the protective conductor, which can burn open",
    rows=(10,),
)
def return_through_earth(machine: Machine) -> Iterator[Break]:
    point = machine.free_point()
    for id_, _ in machine.of_kind("process-source"):
        for ref in machine.at(id_, "OUT-"):
            far = (*ref.spot[:-1], "to" if ref.spot[-1] == "from" else "from")
            if get(machine.plan, far):
                yield Break(id_, partial(put, spot=far, value=f"XPE:{point}"))


@way(
    "process source not isolated", "process", "its output then hangs on the mains and on the control earth", rows=(10,)
)
def not_isolated(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("process-source"):
        yield Break(id_, partial(set_part, part=id_, isolated="false"))
