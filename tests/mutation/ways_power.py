"""Breaks of supplies and protection: too small, too big, wrong curve, wrong voltage, joined rails, unknown data."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial
from itertools import pairwise

from machine import Machine, Plan, Ref, forget, get, join, put, remove, set_part
from ways import Break, way
from ways_conductors import number


def times(text: str, factor: float) -> str:
    """A quantity with its first number multiplied."""
    return re.sub(r"\d+(\.\d+)?", lambda m: f"{float(m.group()) * factor:g}", text, count=1)


def _scaled(machine: Machine, kinds: tuple[str, ...], key: str, factor: float) -> Iterator[Break]:
    for id_, part in machine.of_kind(*kinds):
        if key in part:
            value = times(part[key], factor)
            yield Break(f"{id_}: {key} {value}", partial(set_part, part=id_, **{key: value}))


@way("supply of a twentieth", "supplies", "5 % of the current is below the idle load of every rail")
def tiny_supply(machine: Machine) -> Iterator[Break]:
    return _scaled(machine, ("supply", "converter"), "rated", 0.05)


@way("supply halved", "supplies", "the spare may still suffice", meaningful=False)
def half_supply(machine: Machine) -> Iterator[Break]:
    return _scaled(machine, ("supply", "converter"), "rated", 0.5)


@way("supply voltage doubled", "supplies, connections", "twice the voltage on every load of the rail")
def double_voltage(machine: Machine) -> Iterator[Break]:
    return _scaled(machine, ("supply", "converter"), "output", 2.0)


@way("supply voltage halved", "supplies", "coils drop out, logic stops, drives are below their window")
def half_voltage(machine: Machine) -> Iterator[Break]:
    return _scaled(machine, ("supply", "converter"), "output", 0.5)


@way("load of a hundred times", "supplies, conductors", "fan, brake, hot wire, lamp: far above fuse and supply")
def huge_load(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("fan", "heater", "brake", "lamp"):
        last = re.sub(r"([\d.]+)( m?[AW])$", lambda m: f"{float(m.group(1)) * 100:g}{m.group(2)}", part["rated"])
        yield Break(f"{id_}: {last}", partial(set_part, part=id_, rated=last))


@way("control current of 20 A", "supplies", "logic that takes more than its supply and fuse give")
def huge_logic(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("io-card", "controller"):
        value = {**part["supply"], "current": "20 A"}
        yield Break(id_, partial(set_part, part=id_, supply=value))


@way("mains breaker and upstream one ten times", "protection", "30 A and more before 2.5 mm2 or 14 AWG", rows=(3,))
def big_breaker(machine: Machine) -> Iterator[Break]:
    behind_mains = {ref.part for ref in machine.refs() if _is_mains(machine, ref)}
    for id_, part in machine.of_kind("breaker", "fuse"):
        if id_ in behind_mains:
            value = times(part["rating"], 10)
            yield Break(f"{id_}: {value}", partial(_rate, machine=machine, part=id_, rating=value))


def _rate(plan: Plan, machine: Machine, part: str, rating: str) -> None:
    set_part(plan, part, rating=rating)
    plan["mains"]["upstream"]["rating"] = times(machine.plan["mains"]["upstream"]["rating"], 10)


@way("motor fuse ten times as big", "protection", "40 A on a supply of 24 A before 1.5 mm2", rows=(3,))
def big_fuse(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("fuse"):
        if (part["class"], part["rating"]) == ("gG", "4 A"):
            yield Break(id_, partial(set_part, part=id_, rating="40 A"))


def _is_mains(machine: Machine, ref: Ref) -> bool:
    if ref.spot[0] != "wires":
        return False
    return 100 <= number(get(machine.plan, ref.spot[:2])) < 200


@way("inverter feed sized by motor watts", "conductors", "2.2 kW / (1.73 * 400 V) = 3.2 A; it takes 5.4 A", rows=(18,))
def thin_inverter(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("inverter"):
        yield Break(id_, partial(_thin_feed, part=id_))


def _thin_feed(plan: Plan, part: str) -> None:
    for wire in plan["wires"]:
        if wire.get("to", "").startswith((f"{part}:L1", f"{part}:L2", f"{part}:L3")):
            wire.update(size="0.25 mm2")


@way("motor protector set to five times", "protection: motor", "the winding burns before it trips", rows=(18,))
def protector_high(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("motor-protector"):
        values = {"setting": times(part["setting"], 5), "range": "4..6.3 A"}
        yield Break(id_, partial(set_part, part=id_, **values))


@way("breaking capacity of 100 A", "protection", "a short of 1 kA or more bursts it")
def weak_breaking(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("breaker", "motor-protector"):
        yield Break(id_, partial(set_part, part=id_, breaking="100 A"))


@way("fuse for AC only", "protection: DC", "an arc of DC does not go out at a zero crossing", rows=(15,))
def ac_fuse(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("fuse"):
        if "DC" in part.get("rated_voltage", ""):
            yield Break(id_, partial(set_part, part=id_, rated_voltage="250 V AC"))


@way("DC rating removed", "not judged", "whether the fuse may break DC is unknown", removes_data=True, rows=(15,))
def no_dc_rating(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("fuse"):
        if "DC" in part.get("rated_voltage", ""):
            yield Break(id_, partial(_forget, machine=machine, part=id_, key="rated_voltage"))


def _forget(plan: Plan, machine: Machine, part: str, key: str) -> None:
    forget(machine, plan, part, key)


@way("breaker C16 behind an electronic supply", "protection", "ten times 16 A is more than the supply gives", rows=(4,))
def breaker_on_supply(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("fuse"):
        if "DC" in part.get("rated_voltage", "") and "gG" not in part["class"]:
            keep = {key: part[key] for key in ("sizes", "wires_per_terminal") if key in part}
            value = {"kind": "breaker", "rating": "16 A", "curve": "C", "poles": "1", **keep}
            entry = {**value, "breaking": "6 kA", "rated_voltage": "60 V DC"}
            yield Break(id_, partial(put, spot=("parts", id_), value=entry))


@way("inrush of 300 A on curve B", "protection: inrush", "five times the rating trips at once", rows=(23,))
def inrush(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("supply", "process-source", "inverter", "servo-drive"):
        yield Break(id_, partial(_big_inrush, machine=machine, part=id_))


def _big_inrush(plan: Plan, machine: Machine, part: str) -> None:
    set_part(plan, part, inrush="300 A")
    for id_, _ in machine.of_kind("breaker"):
        plan["parts"][id_]["curve"] = "B"


@way("contactor for half an ampere", "connections: contacts", "it carries and makes far more: contacts weld")
def weak_contactor(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("contactor"):
        yield Break(id_, partial(set_part, part=id_, rated="0.5 A", making="1 A"))


@way(
    "overload mode removed",
    "not judged",
    "what a short draws from this supply is unknown",
    removes_data=True,
    rows=(4,),
)
def no_overload(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("supply"):
        if "overload" in part:
            yield Break(id_, partial(_forget, machine=machine, part=id_, key="overload"))


@way("breaking capacity removed", "none", "the lowest of its standard (IEC 60898-1) is taken", meaningful=False)
def no_breaking(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("breaker", "motor-protector"):
        if "breaking" in part:
            yield Break(id_, partial(_forget, machine=machine, part=id_, key="breaking"))


@way(
    "upstream device unknown", "not judged", "what protects the incoming wires is unknown", removes_data=True, rows=(7,)
)
def no_upstream(machine: Machine) -> Iterator[Break]:
    yield Break("mains", partial(remove, spot=("mains", "upstream")))


@way("fault current unknown", "not judged", "breaking capacity and trip times are unknown", removes_data=True)
def no_fault_current(machine: Machine) -> Iterator[Break]:
    yield Break("mains", partial(remove, spot=("mains", "fault_current")))


@way("main switch bypassed", "protection: main switch", "the cabinet stays live with the switch off", rows=(7,))
def no_main_switch(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("disconnector"):
        for pole in range(1, 2 * int(part["poles"]), 2):
            like = machine.at(id_, str(pole))[0].conductor
            edit = partial(join, number="199", start=f"{id_}:{pole}", end=f"{id_}:{pole + 1}", like=like)
            yield Break(f"{id_}:{pole}", edit)


@way("two supplies in parallel", "connections: supplies", "one feeds back into the other", rows=(27,))
def parallel(machine: Machine) -> Iterator[Break]:
    ids = [id_ for id_, _ in machine.of_kind("supply", "converter")]
    for a, b in pairwise(ids):
        like = machine.at(a, "V+")[0].conductor
        yield Break(f"{a} and {b}", partial(join, number="299", start=f"{a}:V+", end=f"{b}:V+", like=like))


@way("drives in a chain", "connections: drives", "the second drive lives on the sagging rail of the first", rows=(25,))
def chained(machine: Machine) -> Iterator[Break]:
    ids = [id_ for id_, part in machine.of_kind("stepper-drive", "servo-drive") if machine.at(id_, "V+")]
    for a, b in pairwise(ids):
        spot = machine.at(b, "V+")[0].spot
        yield Break(f"{b} from {a}", partial(put, spot=(*spot[:-1], "from"), value=f"{a}:V+"))


@way(
    "drive current of twice the motor's", "supplies: current setting", "four times the heat in the winding", rows=(29,)
)
def high_current(machine: Machine) -> Iterator[Break]:
    return _scaled(machine, ("stepper-drive",), "phase_current", 2.0)


@way("load inertia of ten thousand times", "supplies: regeneration", "the braking energy lifts the bus", rows=(9,))
def inertia(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("stepper-motor"):
        if "load_inertia" in part and part.get("self_locking") != "true":
            value = times(part["load_inertia"], 10000)
            yield Break(id_, partial(set_part, part=id_, load_inertia=value))
