"""Breaks of signals, cabinet and site."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from machine import Machine, Plan, Ref, put, remove, set_part
from ways import Break, way
from ways_power import times

DRIVES = ("stepper-drive", "servo-drive")


def _fed_by_card(machine: Machine, *terminals: str) -> Iterator[Ref]:
    for ref in machine.refs():
        if ref.terminal in terminals and "signals" in machine.parts[ref.part]:
            yield ref


@way(
    "24 V output on 5 V inputs",
    "signals: input voltage",
    "24 V through 5 V optocouplers: five times the current",
    rows=(11,),
)
def pnp_to_opto(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("io-card", "controller"):
        for name in part["outputs"]:
            if name.startswith("P") and any("signals" in drive for _, drive in machine.of_kind(*DRIVES)):
                edit = partial(put, spot=("parts", id_, "outputs", name), value="push-pull 24 V")
                yield Break(f"{id_}:{name}", edit)


@way("step input wired to 24 V", "signals: input voltage", "24 V on a 5 V input", rows=(11,))
def step_to_24v(machine: Machine) -> Iterator[Break]:
    for ref in _fed_by_card(machine, "STEP+", "DIR+"):
        far = (*ref.spot[:-1], "from")
        yield Break(ref.conductor, partial(put, spot=far, value="X1:1"))


@way(
    "npn sensor on an input that sinks",
    "signals: sensor type",
    "the sensor pulls to 0 V what the input pulls to 0 V",
    rows=(13,),
)
def npn(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("sensor"):
        value = part["output"].replace("pnp", "npn")
        yield Break(id_, partial(set_part, part=id_, output=value))


@way("input that sources", "signals: sensor type", "a pnp sensor or a contact to 24 V never switches it", rows=(13,))
def source_input(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("io-card", "controller"):
        for name in part["inputs"]:
            yield Break(f"{id_}:{name}", partial(put, spot=("parts", id_, "inputs", name), value="source"))


@way("sensor leaks 5 mA", "signals: leakage", "type 1 and 3 inputs must be off below 1.5 mA (IEC 61131-2)", rows=(13,))
def leaking_sensor(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("sensor"):
        yield Break(id_, partial(set_part, part=id_, leakage="5 mA"))


@way(
    "sensor drops 15 V",
    "signals: input voltage",
    "9 V at the input is below the 11 V of type 3 (IEC 61131-2)",
    rows=(13,),
)
def dropping_sensor(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("sensor"):
        if "drop" in part:
            yield Break(id_, partial(set_part, part=id_, drop="15 V"))


@way("output for 1 mA", "signals: output", "an optocoupler takes 7 mA and more")
def weak_output(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("io-card", "controller"):
        yield Break(id_, partial(set_part, part=id_, output_current="1 mA"))


@way("outputs on at start", "signals: boot state", "pump, brake or hot-wire relay on without a program", rows=(24,))
def boot_on(machine: Machine) -> Iterator[Break]:
    relays = any(True for _ in machine.of_kind("relay"))
    for id_, _ in machine.of_kind("io-card", "controller"):
        if relays:
            yield Break(id_, partial(set_part, part=id_, boot="on"))


@way("reset button red", "stop: colours", "red is for stop (IEC 60204-1 10.2.1)")
def red_reset(machine: Machine) -> Iterator[Break]:
    for reset in sorted({stop["reset"] for stop in machine.plan["stops"].values()}):
        yield Break(reset, partial(set_part, part=reset, colour="RD"))


@way("cabinet a third as wide, high and deep", "cabinet: heat", "a ninth of the surface, no fan", rows=(30,))
def small_cabinet(machine: Machine) -> Iterator[Break]:
    if "fan" not in machine.plan["enclosure"]:
        yield Break("enclosure", _shrink)


def _shrink(plan: Plan) -> None:
    box = plan["enclosure"]
    sides = box["size"].rsplit(" ", 1)
    numbers = " x ".join(times(side, 1 / 3) for side in sides[0].split(" x "))
    box["size"] = f"{numbers} {sides[1]}"


@way("ambient of 70 °C", "cabinet: heat", "PVC for 70 °C has no current left", rows=(30,))
def hot_room(machine: Machine) -> Iterator[Break]:
    yield Break("site", partial(put, spot=("site", "ambient"), value="70 °C"))


@way("ambient of 55 °C", "cabinet: heat", "hot, but the spare may suffice", meaningful=False)
def warm_room(machine: Machine) -> Iterator[Break]:
    yield Break("site", partial(put, spot=("site", "ambient"), value="55 °C"))


@way("cabinet of protection IP20", "cabinet: protection", "dust and fingers (IEC 60204-1 11.3: IP22 at least)")
def open_cabinet(machine: Machine) -> Iterator[Break]:
    if machine.plan["rulebook"] == "iec":
        yield Break("enclosure", partial(put, spot=("enclosure", "protection"), value="IP20"))


@way("ambient unknown", "none", "40 °C hold then, the rated ambient of IEC 60204-1 4.4.3", meaningful=False)
def no_ambient(machine: Machine) -> Iterator[Break]:
    yield Break("site", partial(remove, spot=("site", "ambient")))


@way("cabinet size unknown", "not judged", "no heat budget", removes_data=True, rows=(30,))
def no_box(machine: Machine) -> Iterator[Break]:
    yield Break("enclosure", partial(remove, spot=("enclosure", "size")))


@way("altitude of 3000 m", "cabinet: altitude", "above the 1000 m of IEC 60204-1 4.4.5; air insulates and cools less")
def high_site(machine: Machine) -> Iterator[Break]:
    yield Break("site", partial(put, spot=("site", "altitude"), value="3000 m"))


@way("tiny duct", "cabinet: ducts", "5 mm x 5 mm holds two wires", rows=(28,))
def tiny_duct(machine: Machine) -> Iterator[Break]:
    for name, route in machine.plan["routes"].items():
        if route["kind"] == "duct":
            yield Break(name, partial(put, spot=("routes", name, "size"), value="5 x 5 mm"))


@way("distance of routes removed", "segregation", "metres of signals then lie against motor leads", rows=(19,))
def no_distance(machine: Machine) -> Iterator[Break]:
    for name, route in machine.plan["routes"].items():
        if "signal" in name and "apart" in route and route["kind"] != "duct":
            yield Break(name, partial(_touching, name=name))


def _touching(plan: Plan, name: str) -> None:
    apart = plan["routes"][name]["apart"]
    plan["routes"][name]["apart"] = dict.fromkeys(apart, "0 mm")


@way(
    "one conductor a clamp where there are two",
    "connections: terminals",
    "two wires in a clamp for one work loose",
    rows=(28,),
)
def single_clamp(machine: Machine) -> Iterator[Break]:
    ends = [ref.text for ref in machine.refs()] + [
        ref.text for ref in machine.refs() if "through" in ref.spot[2:3] and _inner(machine, ref)
    ]
    for id_, _ in machine.of_kind("breaker", "fuse", "safety-relay", "relay", "controller"):
        if any(ends.count(end) > 1 for end in ends if end.startswith(f"{id_}:")):
            yield Break(id_, partial(set_part, part=id_, wires_per_terminal="1"))


def _inner(machine: Machine, ref: Ref) -> bool:
    last = len(machine.plan["wires"][int(ref.spot[1])]["through"]) - 1
    return 0 < int(ref.spot[3]) < last


@way("clamp for 10 mm2 and more", "connections: terminals", "a thin wire is not held", rows=(28,))
def big_clamp(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.with_key("sizes"):
        if any(ref.part == id_ for ref in machine.refs()):
            yield Break(id_, partial(set_part, part=id_, sizes="25..50 mm2"))
