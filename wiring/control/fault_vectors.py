"""Who is fed in every case at once, from the rails that reach its terminals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring.control.bits import OFF, On
from wiring.control.net import Net, Pair
from wiring.control.source_blocks import Block, PotentialKey
from wiring.control.traced_rails import TracedRails
from wiring.solver.assembly import Actuator

#: By potential: the star of a phase, and the cases in which it reaches the first and the second node of a pair, perhaps
#: and, of a phase, surely.
Near = dict[PotentialKey, tuple[int, tuple[int, int], tuple[int, int]]]


class NetValues(TracedRails):
    """The rails of a net with what they feed; what a pair was found to be is kept until a rail at it moves."""

    def __init__(self, net: Net, count: int, once: bool, still: Mapping[Actuator, int]) -> None:
        super().__init__(net, count, once, still)
        #: Pairs, each with when it was looked at, and what it was found to be.
        self.known: dict[Pair, tuple[int, On]] = {}

    def fed(self, pair: Pair) -> On:
        """The cases in which a pair of nodes has its voltage: surely, and perhaps."""
        known = self.known.get(pair)
        if known is None or known[0] < max(self.moved[pair.a], self.moved[pair.b]):
            known = self.known[pair] = self.clock, self._fed(pair)
        return known[1]

    def _fed(self, pair: Pair) -> On:
        a, b = pair.a, pair.b
        sure = perhaps = first = second = 0
        reached = [block for block in self.blocks if block.plus[a] or block.plus[b]]
        for block in reached:
            plus_a, plus_b = block.plus[a], block.plus[b]
            along, against = plus_a & block.minus[b], plus_b & block.minus[a]
            either = along | against
            if either:
                perhaps |= self.folded(either & block.perhaps)
                served = (along if pair.polar and pair.kind == "DC" else either) >> self.half & block.sure
                sure |= self.folded(served & self._suiting(block, pair))
            first |= self.folded(plus_a & block.perhaps)
            second |= self.folded(plus_b & block.perhaps)
        if first & second:
            crossed = self._crossed(reached, pair, first & second)
            sure, perhaps = sure | crossed[0], perhaps | crossed[1]
        return sure & perhaps, perhaps

    def _suiting(self, block: Block, pair: Pair) -> int:
        """The lanes of groups whose kind and volts suit a pair."""
        key = pair.kind, pair.least_v
        if key not in block.suited:
            block.suited[key] = sum(
                lane
                for lane, group in zip(self.lanes, block.groups, strict=False)
                if group[0].kind == pair.kind and group[0].volts >= pair.least_v
            )
        return block.suited[key]

    def _crossed(self, blocks: Sequence[Block], pair: Pair, both: int) -> On:
        """The cases in which a pair lies between the plus points of two sources: two phases, or two voltages. `both`
        are the cases in which any plus perhaps reaches either node."""
        sure = perhaps = 0
        near: Near = {}
        lanes_of_both = self.in_lanes(both)
        for block in blocks:
            plus_a, plus_b = block.plus[pair.a], block.plus[pair.b]
            counted = block.perhaps & lanes_of_both
            for potential in block.potentials:
                lanes = counted & potential.lanes
                first, second = self.folded(plus_a & lanes), self.folded(plus_b & lanes)
                if not first and not second:
                    continue
                certain = OFF
                if potential.star >= 0:
                    lanes = block.sure & potential.lanes
                    certain = self.folded(plus_a >> self.half & lanes), self.folded(plus_b >> self.half & lanes)
                for key, (star, far, surely) in near.items():
                    if key != potential.key:
                        perhaps |= first & far[1] | second & far[0]
                        if star >= 0 and star == potential.star and pair.kind == "AC":
                            sure |= certain[0] & surely[1] | certain[1] & surely[0]
                _, far, surely = near.get(potential.key, (0, OFF, OFF))
                near[potential.key] = potential.star, _either(far, (first, second)), _either(surely, certain)
        return sure, perhaps


def _either(one: On, other: On) -> On:
    return one[0] | other[0], one[1] | other[1]
