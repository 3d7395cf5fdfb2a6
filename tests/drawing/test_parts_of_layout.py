"""The pieces of the layout against brute force: rows, tracks, ranks."""

from __future__ import annotations

from itertools import permutations, product

from hypothesis import given
from hypothesis import strategies as st

from wiring.drawing import engine
from wiring.drawing.rows import spread
from wiring.drawing.tracks import Run, assign, passing, turning

_WISHES = st.lists(
    st.lists(st.tuples(st.integers(0, 6), st.integers(1, 3)), min_size=1, max_size=3), min_size=1, max_size=4
)


def _distance(rows: list[int] | tuple[int, ...], wishes: list[list[tuple[int, int]]]) -> int:
    return sum(weight * abs(row - value) for row, own in zip(rows, wishes, strict=True) for value, weight in own)


@given(_WISHES, st.data())
def test_rows_are_as_near_to_the_wishes_as_can_be(wishes: list[list[tuple[int, int]]], data: st.DataObject) -> None:
    """Against all assignments of rows (isotonic regression in the L1 norm has its optimum at whole numbers)."""
    steps = data.draw(st.lists(st.integers(1, 3), min_size=len(wishes), max_size=len(wishes)))
    now = data.draw(st.lists(st.integers(0, 9), min_size=len(wishes), max_size=len(wishes)))
    rows = spread(wishes, steps, now)
    assert all(b - a >= step for a, b, step in zip(rows, rows[1:], steps[1:], strict=False))
    best = min(
        _distance(trial, wishes)
        for trial in product(range(-12, 19), repeat=len(wishes))
        if all(b - a >= step for a, b, step in zip(trial, trial[1:], steps[1:], strict=False))
    ) if len(wishes) <= 2 else _best_by_steps(wishes, steps)  # fmt: skip
    assert _distance(rows, wishes) == best


def _best_by_steps(wishes: list[list[tuple[int, int]]], steps: list[int]) -> int:
    """The optimum by dynamic programming over rows, for longer columns."""
    rows = range(-12, 30)
    cost = {row: _distance([row], [wishes[0]]) for row in rows}
    for own, step in zip(wishes[1:], steps[1:], strict=True):
        cost = {
            row: min((cost[before] for before in rows if row - before >= step), default=10**6) + _distance([row], [own])
            for row in rows
        }
    return min(cost.values())


def _runs(lefts: list[int], rights: list[int]) -> list[Run]:
    return [passing(n, float(a), float(b)) for n, (a, b) in enumerate(zip(lefts, rights, strict=True)) if a != b]


@given(st.permutations(range(6)), st.permutations(range(6)))
def test_tracks_never_overlap(lefts: list[int], rights: list[int]) -> None:
    tracks = assign(_runs(list(lefts), list(rights)))
    for one in tracks:
        for two in tracks:
            if one is two:
                continue
            if one.track == two.track:
                assert one.run.high < two.run.low or two.run.high < one.run.low
            if set(one.run.left) & set(two.run.right):
                assert one.track < two.track  # the one from the left turns first


def _cost(order: tuple[Run, ...]) -> int:
    total = 0
    for n, a in enumerate(order):
        for b in order[n + 1 :]:
            total += sum(a.low < row < a.high for row in b.left) + sum(b.low < row < b.high for row in a.right)
    return total


def _allowed(order: tuple[Run, ...]) -> bool:
    return not any(set(b.left) & set(a.right) for n, a in enumerate(order) for b in order[n + 1 :])


def test_three_turns_to_the_left_nest_without_crossing() -> None:
    runs = [turning(0, 0.0, 9.0, left=True), turning(1, 1.0, 8.0, left=True), turning(2, 2.0, 7.0, left=True)]
    tracks = sorted(assign(runs), key=lambda track: track.track)
    found = _cost(tuple(track.run for track in tracks))
    assert found == min(_cost(order) for order in permutations(runs) if _allowed(order)) == 0


def test_a_ring_of_demands_is_broken_by_a_dogleg() -> None:
    """Two wires that change rows: either may not turn first, so one has two verticals that share a half row."""
    tracks = assign([passing(0, 1.0, 3.0), passing(1, 3.0, 1.0)])
    assert len(tracks) == 3
    double = [track.run for track in tracks if sum(t.run.wire == track.run.wire for t in tracks) == 2]
    assert (double[0].high if double[0].high % 1 else double[0].low) % 1 == 0.5


def test_ranks_run_from_left_to_right_and_level_nodes_share_a_column() -> None:
    assert engine.ranks(4, [(0, 1), (1, 2)], [(2, 3)]) == [0, 1, 2, 2]


def test_order_proposes_no_crossing_where_none_is_needed() -> None:
    columns = engine.order([[0, 1], [2, 3]], [1, 1, 1, 1], [((0, 0), (3, 0)), ((1, 0), (2, 0))])
    assert columns in ([[0, 1], [3, 2]], [[1, 0], [2, 3]])
