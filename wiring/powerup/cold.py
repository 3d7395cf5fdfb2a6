"""The stages before the mains but for isolation and protective conductors: by eye, shorts between rails, polarity."""

from __future__ import annotations

from itertools import combinations
from math import inf

from wiring.circuit.model import Node, named
from wiring.circuit.roles import Role
from wiring.parts.elements import Output, Pole
from wiring.parts.protection import device_rating
from wiring.powerup.builder import UNPLUGGED, Builder, practice
from wiring.powerup.isolation import conductors_of
from wiring.powerup.ohms import measure
from wiring.powerup.step import Expected, Meter, Setting, Sort, Stage, Who
from wiring.powerup.survey import pairs_of


def by_eye(to: Builder) -> None:
    """Documents, conductors, and the value of every protective device."""
    to.look(
        Stage.EYES,
        "Hold every wire end against the wire list and tug it; look for loose strands, chips and forgotten tools",
        "as the list says",
        "mend it before anything else",
        test="documents",
    )
    to.look(Stage.EYES, "Screws of power terminals with a torque driver", "torque of the maker", "a loose joint burns")
    for name, part in to.survey.devices.items():
        rating = device_rating(part)
        if rating:
            sort = getattr(part.data, "class_", None) or getattr(part.data, "curve", None) or ""
            words = f"{rating:g} A {sort}".strip()
            action = f"Read the value on {name} ({part.title})"
            to.look(Stage.EYES, action, words, "put in the one of the plan", about=name)
    for name in to.survey.sources:
        given = getattr(to.design.parts[name].data, "input", None)
        if given is not None and to.survey.is_mains_fed(name):
            to.look(
                Stage.EYES,
                f"Voltage selector of {name}, where it has one",
                f"{given.high:g} V",
                "it burns or stays dead",
            )


# Rails.


def shorts(to: Builder) -> None:
    """Inlet and rails by ohmmeter, then the tests with high voltage that a qualified person makes."""
    inlet = to.survey.inlet
    names = conductors_of(to)
    pairs = [(inlet[a], inlet[b]) for a, b in combinations(names, 2)]
    words = [f"Inlet {a} to {b}" for a, b in combinations(names, 2)]
    out = Setting(False, to.survey.poles(list(to.survey.devices)))
    wrong = "a short: find it branch by branch before the mains"
    if pairs:
        to.ohms(Stage.SHORTS, out, pairs, [f"{word}, every protective device out" for word in words], wrong, 0.3)
    _holders(to, out)
    if pairs:
        to.ohms(Stage.SHORTS, UNPLUGGED, pairs, [f"{word}, every protective device in" for word in words], wrong, 0.3)
    _rails(to)
    live = [inlet[name] for name in names if name != "PE"]
    if live and "PE" in inlet:
        to.add(
            Stage.SHORTS,
            f"{to.test_words('insulation')}: line and neutral joined, to earth",
            Meter.OHM,
            Expected(
                Sort.OPEN,
                inf,
                practice("insulation_min"),
                words="insulation tester at 500 V DC, plugs of electronics out",
            ),
            "damp, dirt or a damaged conductor",
            Who.QUALIFIED,
            UNPLUGGED,
            (live[0], inlet["PE"]),
            test="insulation",
        )
        to.look(
            Stage.SHORTS,
            f"Where it is wanted: {to.test_words('withstand')}",
            "no breakdown",
            "insulation is damaged",
            Who.QUALIFIED,
            test="withstand",
        )


def _holders(to: Builder, out: Setting) -> None:
    """Across every fuse holder and breaker while all are out: a conductor that goes past it shows."""
    probes, words = [], []
    for name, part in to.survey.devices.items():
        for element in part.elements:
            if isinstance(element, Pole):
                probes.append(((name, element.a), (name, element.b)))
                words.append(f"{name} ({part.title}) out: across it, {element.name}")
                for end in _fed_points(to, name):
                    probes.append(((name, element.a), end))
                    words.append(f"{name} ({part.title}) out: its line side to {named(end)}")
    if probes:
        share = practice("coil_resistance")
        to.ohms(Stage.SHORTS, out, probes, words, "a conductor goes past the protective device", share)


def _fed_points(to: Builder, device: str) -> list[Node]:
    """The live terminals of what a device feeds on DC and nothing else of its kind does."""
    others = [nodes for name, nodes in to.survey.nodes_behind.items() if name != device]
    return [
        pair.a
        for name in to.survey.fed_by[device]
        for pair in pairs_of(to.design.parts[name])
        if pair.takes_power
        and not pair.is_coil
        and pair.kind == "DC"
        and pair.a in to.survey.nodes_behind[device]
        and not any(pair.a in nodes for nodes in others)
    ]


def _rails(to: Builder) -> None:
    earth = to.survey.earth
    sources = {name: output for name, output in to.survey.sources.items() if output.kind == "DC"}
    probes, words = [], []
    for name, output in sources.items():
        plus, minus = (name, output.plus), (name, output.minus)
        probes.append((plus, minus))
        words.append(f"Rail of {name} ({to.design.parts[name].title}), plus to 0 V, both ways round")
        if earth:
            probes.append((plus, earth))
            words.append(f"Rail of {name}, plus to earth")
    for (first, one), (second, other) in combinations(sources.items(), 2):
        probes.append(((first, one.plus), (second, other.plus)))
        words.append(f"Rail of {first} to rail of {second}")
    if probes:
        coil = practice("coil_resistance")
        to.ohms(Stage.SHORTS, UNPLUGGED, probes, words, "steady low ohms: a short, or two rails joined", coil)


def polarity(to: Builder) -> None:
    """From every source to what it feeds: plus to plus, return to return."""
    probes, words = [], []
    for part in to.design.parts.values():
        for pair in pairs_of(part):
            if not pair.takes_power or pair.kind != "DC":
                continue
            for end, role in ((pair.a, Role.PLUS), (pair.b, Role.ZERO)):
                source = _source_of(to, end, role)
                if source and source[0] != part.name:
                    probes.append((source, end))
                    words.append(f"{named(source)} goes to {named(end)} of {part.title}")
    words = list(dict(zip(probes, words, strict=True)).values())
    probes = list(dict.fromkeys(probes))
    readings = measure(to.survey.cold, UNPLUGGED, probes) if probes else ()
    kept = [
        (pair, word)
        for pair, word, ohm in zip(probes, words, readings, strict=True)
        if ohm is not None and ohm < practice("rail_min")
    ]
    if kept:
        to.ohms(
            Stage.POLARITY,
            UNPLUGGED,
            [pair for pair, _ in kept],
            [word for _, word in kept],
            "open, or plus and return changed over: what is fed the wrong way round is lost",
            0.2,
            0.2,
        )


def _source_of(to: Builder, node: Node, role: Role) -> Node | None:
    rails = [rail for rail in to.design.roles.rails.get(node, ()) if rail.role is role]
    if len(rails) != 1 or rails[0].source not in to.survey.sources:
        return None
    output: Output = to.survey.sources[rails[0].source]
    return rails[0].source, output.plus if role is Role.PLUS else output.minus
