"""Breaks of the stop circuit: contacts, bridges, bypasses, feedback, reset, brake."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from machine import Machine, Plan, Ref, forget, get, join, put, set_part
from ways import Break, way

STOPS = ("emergency-stop", "guard-switch")


def _contact(machine: Machine, kinds: tuple[str, ...], old: str, new: str) -> Iterator[Break]:
    for id_, part in machine.of_kind(*kinds):
        for pair, word in part["contacts"].items():
            if word.startswith(old):
                contacts = {**part["contacts"], pair: new}
                yield Break(f"{id_}:{pair}", partial(set_part, part=id_, contacts=contacts))


@way("stop contact normally open", "stop", "pressing closes it: the channel never opens on a stop", rows=(2,))
def stop_no(machine: Machine) -> Iterator[Break]:
    return _contact(machine, STOPS, "NC", "NO")


@way("limit normally open", "signals: limits", "a broken wire is no longer seen", rows=(12,))
def limit_no(machine: Machine) -> Iterator[Break]:
    return _contact(machine, ("limit-switch",), "NC", "NO")


@way("reset button closed at rest", "none", "a monitored reset answers an edge, not a level", meaningful=False)
def reset_nc(machine: Machine) -> Iterator[Break]:
    resets = {stop["reset"] for stop in machine.plan["stops"].values()}
    return (place for place in _contact(machine, ("push-button",), "NO", "NC") if place.where[:2] in resets)


@way("two limits in parallel", "signals: limits", "either contact hides that the other has opened", rows=(12,))
def parallel_limits(machine: Machine) -> Iterator[Break]:
    ids = [id_ for id_, _ in machine.of_kind("limit-switch")]
    for a, b in zip(ids[::2], ids[1::2], strict=False):
        yield Break(f"{a} and {b}", partial(join, number="398", start=f"{a}:12", end=f"{b}:12", like="322"))


@way("relay closed at rest", "signals: boot state", "hot wire, pump or brake is on with no command", rows=(24,))
def relay_nc(machine: Machine) -> Iterator[Break]:
    """The second contact of K3 in the foam gantry lights a lamp only."""
    return (place for place in _contact(machine, ("relay",), "NO", "NC") if place.where.endswith("11-14"))


@way("automatic reset", "stop: restart", "it starts by itself when the mushroom is released", rows=(6,))
def automatic(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("safety-relay"):
        yield Break(id_, partial(set_part, part=id_, reset_mode="automatic"))


@way("mushroom does not latch", "stop: latching", "it must stay in when released (ISO 13850 4.4)", rows=(6,))
def not_latching(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("emergency-stop"):
        value = {"kind": "push-button", "colour": "RD", "contacts": part["contacts"], "at": part.get("at", "door")}
        sizes = {"sizes": part["sizes"]} if "sizes" in part else {}
        yield Break(id_, partial(put, spot=("parts", id_), value={**value, **sizes}))


@way("stop contact bridged", "stop", "one channel no longer hears this device", rows=(2, 5))
def bridge_stop(machine: Machine) -> Iterator[Break]:
    return _bridged_pairs(machine, STOPS, "contacts")


@way("output of the stop relay bridged", "stop", "what hangs on it is never switched off", rows=(2,))
def bridge_output(machine: Machine) -> Iterator[Break]:
    return _bridged_pairs(machine, ("safety-relay",), "outputs")


@way("mirror contact bridged", "stop: feedback", "a welded pole no longer keeps the reset from working", rows=(5,))
def bridge_mirror(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("contactor"):
        mirrors = [pair for pair, word in part["contacts"].items() if "mirror" in word]
        yield from _bridges(machine, id_, mirrors)


def _bridged_pairs(machine: Machine, kinds: tuple[str, ...], key: str) -> Iterator[Break]:
    for id_, part in machine.of_kind(*kinds):
        yield from _bridges(machine, id_, list(part[key]))


def _bridges(machine: Machine, id_: str, pairs: list[str]) -> Iterator[Break]:
    for pair in pairs:
        a, b = pair.split("-")
        if machine.at(id_, a) and machine.at(id_, b):
            edit = partial(join, number="399", start=f"{id_}:{a}", end=f"{id_}:{b}", like="322")
            yield Break(f"{id_}:{pair}", edit)


@way(
    "mirror contact left out of the reset loop", "stop: feedback", "the weld of that contactor stays unseen", rows=(5,)
)
def skip_mirror(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("contactor"):
        for ref in machine.at(id_, "21"):
            yield Break(id_, partial(put, spot=ref.spot, value=f"{id_}:22"))


@way("auxiliary contact is no mirror contact", "stop: feedback", "it may close while a pole is welded", rows=(5,))
def no_mirror(machine: Machine) -> Iterator[Break]:
    return _contact(machine, ("contactor",), "NC mirror", "NC")


@way("contactor bypassed", "stop: single channel", "all poles bridged: only its twin still breaks", rows=(5,))
def bypass(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("contactor"):
        yield Break(id_, partial(_bypass, machine=machine, part=id_))


def _bypass(plan: Plan, machine: Machine, part: str) -> None:
    for pole in range(1, 8, 2):
        if machine.at(part, str(pole)) and machine.at(part, str(pole + 1)):
            like = machine.at(part, str(pole))[0].conductor
            join(plan, f"19{pole}", f"{part}:{pole}", f"{part}:{pole + 1}", like)


def coils(machine: Machine) -> Iterator[tuple[str, Ref, Ref, Ref]]:
    """Contactors straight on an output of the stop relay: id, end at the output, its feed end, end at coil A2."""
    for id_, _ in machine.of_kind("contactor"):
        for ref in machine.at(id_, "A1"):
            source = _other(machine, ref)
            if source is None or machine.kind(source.part) != "safety-relay":
                continue
            feed = machine.at(source.part, f"{source.terminal[0]}3")[0]
            yield id_, source, feed, machine.at(id_, "A2")[0]


def _other(machine: Machine, ref: Ref) -> Ref | None:
    far = (*ref.spot[:-1], {"from": "to", "to": "from"}.get(str(ref.spot[-1]), ""))
    return next((r for r in machine.refs() if r.spot == far), None)


@way("coil fed ahead of the stop relay", "stop", "this contactor never drops on a stop", rows=(2, 5))
def feed_before(machine: Machine) -> Iterator[Break]:
    for id_, source, feed, _ in coils(machine):
        yield Break(id_, partial(put, spot=source.spot, value=feed.text))


@way("all contactors fed ahead of the stop relay", "stop: leaves a hazard", "the stop removes nothing", rows=(2,))
def feed_all_before(machine: Machine) -> Iterator[Break]:
    found = list(coils(machine))
    if len(found) > 1:
        yield Break("all", partial(_feed_all, coils=tuple((source, feed) for _, source, feed, _ in found)))


def _feed_all(plan: Plan, coils: tuple[tuple[Ref, Ref], ...]) -> None:
    for source, feed in coils:
        put(plan, source.spot, feed.text)


@way("stop contact on the 0 V side of the coil", "stop: earthed side", "one earth fault bypasses it", rows=(8,))
def earthed_side(machine: Machine) -> Iterator[Break]:
    for id_, source, feed, ret in coils(machine):
        yield Break(id_, partial(_to_earthed_side, part=id_, source=source, feed=feed, ret=ret))


def _to_earthed_side(plan: Plan, part: str, source: Ref, feed: Ref, ret: Ref) -> None:
    put(plan, feed.spot, f"{part}:A1")
    coil_end = (*source.spot[:-1], "to" if source.spot[-1] == "from" else "from")
    put(plan, coil_end, feed.text)
    put(plan, source.spot, f"{part}:A2")
    put(plan, ret.spot, source.text)


@way(
    "suppressor removed", "connections: coils", "a coil switched off without it burns contacts and outputs", rows=(26,)
)
def no_suppressor(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.with_key("suppressor"):
        yield Break(id_, partial(set_part, part=id_, suppressor="none"))


@way("suppressor unknown", "not judged", "unknown whether the coil has one", removes_data=True, rows=(26,))
def unknown_suppressor(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.with_key("suppressor"):
        yield Break(id_, partial(_forget, machine=machine, part=id_))


def _forget(plan: Plan, machine: Machine, part: str) -> None:
    forget(machine, plan, part, "suppressor")


@way("coil for 230 V AC", "connections: part voltage", "a coil for 230 V does not pull in on 24 V")
def wrong_coil(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("contactor", "relay"):
        yield Break(id_, partial(set_part, part=id_, coil="230 V AC 5 W"))


@way("contacts of the stop relay for 20 mA", "connections: contacts", "coils of 3 W take 125 mA", rows=(15,))
def weak_contacts(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("safety-relay"):
        yield Break(id_, partial(set_part, part=id_, rated="20 mA", contact_rating="DC-13 0.02 A 24 V"))


@way("contacts of the stop relay for AC only", "none", "a plain contact breaks up to 30 V DC", meaningful=False)
def ac_contacts(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("safety-relay"):
        yield Break(id_, partial(set_part, part=id_, contact_rating="AC-15 3 A 230 V"))


@way("motor brake removed", "shafts", "a head that nothing holds falls", rows=(17,))
def no_brake(machine: Machine) -> Iterator[Break]:
    for id_, _ in machine.of_kind("brake"):
        yield Break(id_, partial(_remove_part, part=id_))


def _remove_part(plan: Plan, part: str) -> None:
    del plan["parts"][part]
    plan["cables"] = [c for c in plan["cables"] if not any(part in end for pair in c["join"].values() for end in pair)]


@way("screw of a vertical axis not self-locking", "shafts", "no brake and nothing that holds it", rows=(17,))
def not_locking(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.parts.items():
        if part.get("self_locking") == part.get("vertical") == "true":
            yield Break(id_, partial(set_part, part=id_, self_locking="false"))


@way("axis turned upright", "shafts", "vertical, without brake", rows=(17,))
def upright(machine: Machine) -> Iterator[Break]:
    for id_, part in machine.of_kind("stepper-motor", "servo-motor"):
        if "vertical" not in part and part.get("self_locking") != "true":
            yield Break(id_, partial(set_part, part=id_, vertical="true"))


@way("brake fed ahead of the stop", "shafts", "the brake stays released after a stop", rows=(17,))
def brake_before_stop(machine: Machine) -> Iterator[Break]:
    if any(True for _ in machine.of_kind("brake")):
        yield Break("K4", _feed_brake)


def _feed_brake(plan: Plan) -> None:
    chain = next(wire for wire in plan["wires"] if "K4:11" in wire.get("through", ()))
    chain["through"].remove("K4:11")
    join(plan, "397", "X1:7", "K4:11", "357")


@way(
    "motor switched while driven", "connections: motor", "opening a winding under current kills the bridge", rows=(14,)
)
def switched_motor(machine: Machine) -> Iterator[Break]:
    for n, cable in machine.cables():
        for core in list(cable["join"])[:1]:
            far = get(machine.plan, ("cables", n, "join", core, 1)).partition(":")[0]
            if machine.kind(far) in ("stepper-motor", "servo-motor"):
                yield Break(cable["cable"], partial(_switch_core, n=n, core=core))


def _switch_core(plan: Plan, n: int, core: str) -> None:
    plan["parts"]["S98"] = {"kind": "selector", "contacts": {"13-14": "NO"}, "at": "door"}
    start = plan["cables"][n]["join"][core][0]
    plan["cables"][n]["join"][core][0] = "S98:14"
    like = next(wire["wire"] for wire in plan["wires"] if wire["wire"].startswith("2") or wire["wire"] == "130")
    join(plan, "298", start, "S98:13", like)
