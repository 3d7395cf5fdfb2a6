"""Protective conductors before the mains: milliohms from the inlet to the metal, and one bond for every rail."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.circuit.model import Conductor, Node, named
from wiring.circuit.roles import Rail, Role, is_earth_point
from wiring.powerup.builder import UNPLUGGED, Builder, practice
from wiring.powerup.ohms import measure
from wiring.powerup.step import Expected, Meter, Setting, Sort, Stage
from wiring.rulebooks.limits import tabled
from wiring.walks import way_to

#: Largest resistance of the bonding circuit by NFPA 79 [ohm].
_NA_BONDING_OHM = tabled("na", "bonding_resistance_max").value
#: Least error of a milliohm meter with its clips, so that a sound conductor is not called wrong [ohm].
_METER_MILLIOHM = 0.002
#: A return with a resistance to earth below this is reached by metal alone [ohm].
_BONDED_OHM = 1.0


def bonded_points(to: Builder) -> list[Node]:
    points = []
    for part in to.design.parts.values():
        terminal = part.data.earth_terminal()
        marking = part.data.terminals.get(terminal, terminal) if terminal else None
        if marking and marking in part.terminals:
            points.append((part.name, marking))
    return points


def way_between(to: Builder, start: Node, end: Node) -> list[Conductor]:
    """The conductors on the shortest way of metal between two protective points."""
    way = way_to(to.design.circuit.walk([start], lambda _edge, _far: True, {end}), {end})
    return [edge for edge in way[::-1] if isinstance(edge, Conductor)]


def bonding(to: Builder) -> None:
    """Every protective conductor from the inlet to the metal, and one bond for every rail."""
    earth = to.survey.earth
    if earth is None:
        to.not_judged.append("3 protective conductors: the plan has no inlet with a protective conductor")
        return
    points = [(earth, point) for point in bonded_points(to) if point != earth]
    seen = {wire.id for red, black in points for wire in way_between(to, red, black)}
    others = [wire for wire in to.design.circuit.conductors if wire.id not in seen and is_protective(to, wire)]
    points += [(earth, _far_end(to, earth, wire)) for wire in others]
    bonds = {source: bond for source in to.survey.sources if (bond := _bond_of(to, source, earth))}
    ends = {source: _farthest_return(to, source, earth) for source in bonds}
    # Parts at which a return is measured next come last: the probe is there.
    points.sort(key=lambda point: point[1][0] in {end[0] for end in ends.values()})
    off = Setting(False, frozenset(bond.id for bond in bonds.values()))
    # With the bonds taken off, so that a return and a protective conductor that are changed over show.
    at = _taken_off(to, bonds, ends, earth) or off
    readings = measure(to.survey.cold, at, points)
    for (red, black), ohm in zip(points, readings, strict=True):
        expected = _bonding_expected(to, red, black, ohm)
        to.add(
            Stage.BOND,
            f"{named(red)} to {to.design.parts[black[0]].title} ({black[0]})",
            Meter.MILLIOHM,
            expected,
            "loose, painted or forgotten joint; nobody switches on before it is right",
            setting=at,
            probes=(red, black),
            test="bonding",
            row=(f"Protective conductor, {named(red)} to", f"{to.design.parts[black[0]].title} ({black[0]})"),
        )
    if bonds:
        _bonds(to, earth, bonds, ends, at, off)


def _taken_off(to: Builder, bonds: Mapping[str, Conductor], ends: Mapping[str, Node], earth: Node) -> Setting | None:
    """The machine with the bonds off of those returns alone that have a protective neighbour, where that parts them."""
    beside = [source for source in bonds if _lies_beside_earth(to, source)]
    setting = Setting(False, frozenset(bonds[source].id for source in beside))
    parted = measure(to.survey.cold, setting, [(ends[source], earth) for source in beside]) if beside else ()
    return setting if all(ohm is None for ohm in parted) else None


def _far_end(to: Builder, earth: Node, wire: Conductor) -> Node:
    """The end of a protective conductor that lies behind it, seen from the inlet."""
    return max(wire.ends, key=lambda end: len(way_between(to, earth, end)))


def is_protective(to: Builder, wire: Conductor) -> bool:
    """Whether a conductor joins two protective points."""
    return wire.kind != "shield" and all(is_earth_point(to.design.circuit, end) for end in wire.ends)


def _bonding_expected(to: Builder, red: Node, black: Node, ohm: float | None) -> Expected:
    """Milliohms of the conductors on the way, with room for every joint."""
    way = way_between(to, red, black)
    lacking = [wire.id for wire in way if wire.length_m is None or wire.size is None]
    if ohm is None:
        return Expected(Sort.UNJUDGED, words="not judged: it has no protective conductor")
    if lacking:
        most = _NA_BONDING_OHM if to.design.plan.rulebook == "na" else practice("bonding_max")
        words = f"at the most for any length: length and size of {', '.join(lacking)} are not given"
        return Expected(Sort.BELOW, ohm, 0.0, most, words)
    spread = practice("bonding_spread") * ohm + _METER_MILLIOHM
    high = ohm + spread + 2 * len(way) * practice("joint_max")
    if to.design.plan.rulebook == "na":
        high = min(high, max(_NA_BONDING_OHM, ohm))
    return Expected(Sort.VALUE, ohm, max(ohm - spread, 0.0), high)


def _bonds(
    to: Builder, earth: Node, bonds: Mapping[str, Conductor], ends: Mapping[str, Node], at: Setting, off: Setting
) -> None:
    """Every return to earth: joined with its bond, and by nothing else with its bond taken off: `at` first, or `off`,
    with all of them."""
    ways = _through_bonds(to, bonds, ends, earth)
    # On the walk over the conductors, so that the bonds are seen to be back.
    to.ohms(
        Stage.POLARITY,
        UNPLUGGED,
        [way[:2] for way in ways],
        [f"{words} bonded: {named(red)} to {named(black)}" for red, black, words in ways],
        "the bond is missing or loose: no fuse answers an earth fault of this rail",
        0.2,
        0.3,
        rows=[("Every return is bonded", words) for _, _, words in ways],
    )
    wrong = "a second bond or a conductor on metal: find it, then put the bond back"
    for source, end in reversed(list(ends.items())):
        bond, told, is_main = bonds[source].number, _return_words(to, source), _lies_beside_earth(to, source)
        words = f"{told} with its bond {bond} taken off, at {named(end)}: one bond only"
        row = ("Returns with their bonds taken off: one bond only", source)
        with to.annex(not is_main):
            to.ohms(Stage.BOND, at if is_main else off, [(end, earth)], [words], wrong, 0.2, rows=[row])


def _lies_beside_earth(to: Builder, source: str) -> bool:
    """Whether the return of a source has a protective neighbour on some part, so that one strand may join them."""
    circuit, rails = to.design.circuit, to.design.roles.rails
    return any(
        is_earth_point(circuit, one) and any(_is_return(rail, source) for rail in rails.get(other, ()))
        for part in circuit.parts.values()
        for a, b in part.beside
        for one, other in (((part.name, a), (part.name, b)), ((part.name, b), (part.name, a)))
    )


def _through_bonds(
    to: Builder, bonds: Mapping[str, Conductor], ends: Mapping[str, Node], earth: Node
) -> list[tuple[Node, Node, str]]:
    """From the 0 V of one source through its bond and that of the next, where nothing else joins the two; else from a
    0 V to earth. In words which."""
    found: list[tuple[Node, Node, str]] = []
    left = list(ends)
    while left:
        source = left.pop(0)
        other = next((one for one in left if _only_by_bonds(to, (ends[source], ends[one]), bonds[source].id)), None)
        if other is None:
            found.append((ends[source], earth, f"{_return_words(to, source)} is"))
        else:
            left.remove(other)
            both = f"{_return_words(to, source)} and {_return_words(to, other)} are"
            found.append((ends[source], ends[other], both))
    return found


def _return_words(to: Builder, source: str) -> str:
    return f"{'0 V' if to.survey.sources[source].kind == 'DC' else 'earthed side'} of {source}"


def _only_by_bonds(to: Builder, ends: tuple[Node, Node], bond: str) -> bool:
    return measure(to.survey.cold, UNPLUGGED, [ends], opened=frozenset({bond}))[0] is None


def _bond_of(to: Builder, source: str, earth: Node) -> Conductor | None:
    """The only bond of the return of a source, None where there is none or more than one."""
    minus = (source, to.survey.sources[source].minus)
    bonds = [bond for bond in to.design.roles.bonds if bond.kind != "shield" and _is_of(to, bond, source)]
    if len(bonds) != 1 or minus not in to.survey.cold.index:
        return None
    return bonds[0] if measure(to.survey.cold, UNPLUGGED, [(minus, earth)])[0] is not None else None


def _farthest_return(to: Builder, source: str, earth: Node) -> Node:
    """The return terminal of a source with the most conductors on the way to earth, so that one reading passes them."""
    own = (source, to.survey.sources[source].minus)
    returns = [
        node
        for node in to.design.circuit.nodes
        if any(_is_return(rail, source) for rail in to.design.roles.rails.get(node, ()))
        and node[0] in to.design.parts
        and node[1] in to.design.parts[node[0]].terminals
        and to.survey.numbers(node)
    ]
    ways = {node: len(way_between(to, earth, node)) for node in returns if is_bonded(to, node, earth)}
    return max(sorted(ways), key=lambda node: ways[node], default=own)


def is_bonded(to: Builder, node: Node, earth: Node) -> bool:
    """Whether metal joins a point with earth."""
    ohm = measure(to.survey.cold, UNPLUGGED, [(node, earth)])[0]
    return ohm is not None and ohm < _BONDED_OHM


def _is_return(rail: Rail, source: str) -> bool:
    """Whether a rail is the 0 V of a source, or one of the two sides of its winding, of which one may be earthed."""
    return rail.source == source and rail.role in (Role.ZERO, Role.AC)


def _is_of(to: Builder, bond: Conductor, source: str) -> bool:
    return any(_is_return(rail, source) for end in bond.ends for rail in to.design.roles.rails.get(end, ()))
