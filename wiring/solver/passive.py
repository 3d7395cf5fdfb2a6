"""What of a circuit neither gives nor takes power, at one frequency: which of it carries current in any position."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from wiring.circuit.model import Inner, Node
from wiring.parts.elements import Coil, Element, Resistance, Switch
from wiring.solver.lowering import Lowered
from wiring.solver.network import Branch


class Passive:
    """Conductors, contacts and resistances of a circuit at one frequency, as if every path were closed.

    Of every node `degree` counts the branches, and `beside` is the exclusive or of the nodes at their other ends: where
    one branch is left, it is that node.
    """

    def __init__(self, lowered: Lowered, kind: str) -> None:
        self.branches: list[Branch] = []
        self.keys: list[str | tuple[str, int] | None] = []
        self.switches: list[tuple[int, str, tuple[str, str], bool]] = []
        self._paths(lowered, kind)
        for key, element in elements_of(lowered, (Resistance, Coil)):
            self._element(lowered.index, kind, key, element)
        self.places: dict[object, list[int]] = {}
        self.degree, self.beside = [0] * lowered.count, [0] * lowered.count
        for place, (branch, name) in enumerate(zip(self.branches, self.keys, strict=True)):
            self.places.setdefault(name[:1] if isinstance(name, tuple) else name, []).append(place)
            _count(branch, 1, self.degree, self.beside)

    def _add(self, a: int, b: int, ohm: complex | float, key: str | tuple[str, int] | None) -> None:
        if a != b:
            self.branches.append(Branch(a, b, ohm))
            self.keys.append(key)

    def _paths(self, lowered: Lowered, kind: str) -> None:
        for edge in lowered.edges:
            source = edge.source
            if edge.a != edge.b and isinstance(source, Inner) and isinstance(source.element, Switch):
                actuator = source.part, source.element.actuator
                self.switches.append((len(self.branches), edge.id, actuator, source.element.closed_at_rest))
            self._add(edge.a, edge.b, edge.ohm, edge.id)
        for branch in lowered.mains_branches:
            self._add(branch.a, branch.b, branch.ohm, None)
        if kind != "AC":
            for mains in lowered.mains_sources:
                self._add(mains.plus, mains.minus, mains.ohm, None)

    def _element(self, index: Mapping[Node, int], kind: str, key: tuple[str, int], element: Element) -> None:
        name = key[0]
        match element:
            case Resistance() if element.kind in ("", kind):
                self._add(index[name, element.a], index[name, element.b], element.ohm, key)
            case Coil() if (element.kind or "DC") == kind:
                self._add(index[name, element.a], index[name, element.b], coil_ohm(element), key)

    def away(
        self, moved: Collection[tuple[str, str]], opened: Iterable[str], closed: Collection[str], off: Iterable[str]
    ) -> set[int]:
        """The branches that do not conduct: paths that are open or held so, resistances of parts that are off."""
        found = {
            place
            for place, path, actuator, closed_at_rest in self.switches
            if closed_at_rest == (actuator in moved) and path not in closed
        }
        for name in (*opened, *((part,) for part in off)):
            found.update(self.places.get(name, ()))
        return found

    def peeled(self, away: Iterable[int], held: Collection[int]) -> tuple[list[int], list[tuple[int, int | None]]]:
        """The nodes that can carry current without some branches, those `held` among them; and the dead ends peeled off
        them, the outermost first, each with the node that it hangs on."""
        degree, beside = self.degree.copy(), self.beside.copy()
        for place in away:
            _count(self.branches[place], -1, degree, beside)
        gone = bytearray(len(degree))
        hung: list[tuple[int, int | None]] = []
        stack = [n for n, count in enumerate(degree) if count <= 1 and n not in held]
        while stack:
            node = stack.pop()
            if gone[node]:
                continue
            gone[node] = 1
            via = beside[node] if degree[node] else None
            hung.append((node, via))
            if via is not None:
                degree[via] -= 1
                beside[via] ^= node
                if degree[via] <= 1 and via not in held:
                    stack.append(via)
        return [n for n, is_gone in enumerate(gone) if not is_gone], hung


def _count(branch: Branch, times: int, degree: list[int], beside: list[int]) -> None:
    """Enter a branch at its two nodes, or with -1 take it away again."""
    degree[branch.a] += times
    degree[branch.b] += times
    beside[branch.a] ^= branch.b
    beside[branch.b] ^= branch.a


def coil_ohm(coil: Coil) -> complex | float:
    """Impedance of a coil at its own frequency [ohm]."""
    if coil.kind != "AC" or coil.power_factor >= 1.0:
        return coil.ohm
    # `ohm` is U²/P: the impedance has the same voltage and power at the coil's power factor.
    magnitude = coil.ohm * coil.power_factor
    return complex(magnitude * coil.power_factor, magnitude * (1 - coil.power_factor**2) ** 0.5)


def elements_of(lowered: Lowered, kinds: tuple[type, ...]) -> list[tuple[tuple[str, int], Element]]:
    """The elements of some kinds, which few are."""
    return [
        ((part.name, n), element)
        for part in lowered.circuit.parts.values()
        for n, element in enumerate(part.elements)
        if isinstance(element, kinds)
    ]
