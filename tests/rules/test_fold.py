"""The pass of causes over findings made by hand: what folds, what an acceptance brings back, what is told together."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st

from wiring.findings import Atom, Finding, Reference, Scope, Signal
from wiring.plan.models import Acceptance
from wiring.rules.causes import TABLE
from wiring.rules.fold import Claim, Fold, Found, explained
from wiring.rules.rule import Item

#: Three rows of the table, one behind the other.
ROOT, MIDDLE, EFFECT = "supply-overloaded", "network-undecided", "state-not-fed"
G1, G2 = ("supply", "G1"), ("supply", "G2")


def claim(rule: str, *rests: Sequence[Atom], signal: Signal = Signal.WARNING, holds: Sequence[Atom] = ()) -> Claim:
    return Claim(rule, signal, frozenset(holds), tuple(frozenset(one) for one in rests))


def found(one: Claim, name: str, group: str = "") -> Found:
    """A thing found of which the names of its group are told."""

    def tell(names: Sequence[str]) -> Finding:
        return Finding(one.rule, one.signal, tuple(names), "found")

    return Found(Item(group or name, name, tell), tell([name]), one)


def accepting(rule: str, *names: str) -> Acceptance:
    return Acceptance.model_validate({"finding": rule, "part": list(names), "reason": "seen"})


def told(fold: Fold) -> dict[tuple[str, ...], Finding]:
    return {one.subjects: one for one in fold.findings()}


def test_the_rows_of_these_tests_stand_in_the_table() -> None:
    rows = {(root, kind, effect) for root, kind, effects in TABLE for effect in effects}
    assert {(ROOT, "supply", MIDDLE), (ROOT, "supply", EFFECT)} <= rows
    assert not {row for row in rows if row[0] == EFFECT and row[2] == ROOT}


def test_an_effect_rests_on_an_atom_that_its_root_holds() -> None:
    assert explained([claim(ROOT, holds=[G1]), claim(EFFECT, [G1, G2])], ()) == {1: (0,)}


def test_a_root_of_one_item_leaves_an_effect_that_rests_on_two() -> None:
    two = claim(EFFECT, [G1], [G2])
    assert explained([claim(ROOT, holds=[G1]), two], ()) == {}
    assert explained([claim(ROOT, holds=[G1]), two, claim(ROOT, holds=[G2])], ()) == {1: (0, 2)}


def test_another_kind_of_scope_with_the_same_name_explains_nothing() -> None:
    part = ("part", "G1")
    assert explained([claim(ROOT, holds=[part]), claim(EFFECT, [part])], ()) == {}


def test_a_finding_that_no_row_names_stays() -> None:
    assert explained([claim(EFFECT, holds=[G1]), claim(ROOT, [G1])], ()) == {}


def test_what_is_milder_hides_nothing_graver_and_what_is_alike_does() -> None:
    def roots(signal: Signal) -> dict[int, tuple[int, ...]]:
        return explained([claim(ROOT, holds=[G1], signal=signal), claim(EFFECT, [G1])], ())

    assert roots(Signal.CAUTION) == roots(Signal.NOTICE) == {}
    assert roots(Signal.WARNING) == roots(Signal.DANGER) == {1: (0,)}


def test_an_accepted_root_explains_nothing_and_an_accepted_effect_needs_none() -> None:
    pair = [claim(ROOT, holds=[G1]), claim(EFFECT, [G1])]
    assert explained(pair, {0}) == explained(pair, {1}) == {}


def test_a_root_may_be_explained_itself() -> None:
    chain = [claim(ROOT, holds=[G1]), claim(MIDDLE, [G1], holds=[G1]), claim(EFFECT, [G1])]
    assert explained(chain, ())[1] == (0,)
    assert 0 in explained(chain, ())[2]


def test_what_shares_its_fate_is_told_together_and_the_rest_beside_it() -> None:
    effects = [found(claim(EFFECT, [atom]), name, "all") for atom, name in ((G1, "a"), (G1, "b"), (G2, "c"))]
    findings = told(Fold([found(claim(ROOT, holds=[G1]), "G1"), *effects]))
    assert set(findings) == {("G1",), ("a", "b"), ("c",)}
    assert findings["a", "b"].explained_by == (Reference(ROOT, ("G1",)),)
    assert findings["c",].explained_by == ()


def test_an_acceptance_of_the_root_brings_back_its_effect_and_then_that_may_be_accepted() -> None:
    pair = [found(claim(ROOT, holds=[G1]), "G1"), found(claim(EFFECT, [G1]), "a")]
    root, effect = accepting(ROOT, "G1"), accepting(EFFECT, "a")
    first = told(Fold(pair, [root]))
    assert (first["G1",].accepted, first["a",].accepted) == ("seen", None)
    assert first["a",].explained_by == ()
    both = Fold(pair, [effect, root])
    assert {one.accepted for one in both.findings()} == {"seen"}
    assert both.unmatched == []


def test_an_acceptance_of_what_is_folded_or_of_half_a_group_matches_nothing() -> None:
    pair = [found(claim(ROOT, holds=[G1]), "G1"), found(claim(EFFECT, [G1]), "a")]
    folded = Fold(pair, [accepting(EFFECT, "a")])
    assert folded.unmatched == [0]
    assert [one.accepted for one in folded.findings()] == [None, None]
    group = [found(claim(EFFECT, [G1]), name, "all") for name in "ab"]
    assert Fold(group, [accepting(EFFECT, "a"), accepting(EFFECT, "a", "b")]).unmatched == [0]


def test_an_acceptance_names_the_rule_and_its_subjects_in_any_order() -> None:
    group = [found(claim(EFFECT, [G1]), name, "all") for name in "ab"]
    assert Fold(group, [accepting(EFFECT, "b", "a")]).unmatched == []
    assert Fold(group, [accepting(ROOT, "a", "b")]).unmatched == [0]


ATOMS = st.sampled_from([G1, G2, ("part", "G1"), ("conductor", "G1")])
SCOPES = st.frozensets(ATOMS, min_size=1, max_size=2)
CLAIMS = st.builds(
    Claim,
    st.sampled_from([*sorted({slug for root, _, effects in TABLE for slug in (root, *effects)})[::3], ROOT, EFFECT]),
    st.sampled_from(list(Signal)),
    SCOPES,
    st.lists(SCOPES, max_size=2).map(tuple),
)


def explains(root: Claim, scope: Scope, effect: Claim) -> bool:
    """The words of the table's head, read one by one."""
    kinds = {kind for slug, kind, effects in TABLE if slug == root.rule and effect.rule in effects}
    shared = {kind for kind, _ in root.holds & scope}
    return bool(kinds & shared) and list(Signal).index(root.signal) <= list(Signal).index(effect.signal)


@given(st.lists(CLAIMS, max_size=6), st.sets(st.integers(0, 5)))
def test_a_root_explains_by_the_words_of_the_table(claims: list[Claim], accepted: set[int]) -> None:
    roots = {n: one for n, one in enumerate(claims) if n not in accepted}
    expected = {}
    for n, effect in roots.items():
        near = [{m for m, one in roots.items() if m != n and explains(one, scope, effect)} for scope in effect.rests]
        if near and all(near):
            expected[n] = tuple(sorted(set().union(*near)))
    assert explained(claims, accepted) == expected


@given(st.lists(st.tuples(CLAIMS, st.sampled_from("xyz")), max_size=6), st.integers(0, 5))
def test_nothing_that_was_found_is_lost_or_told_twice(parts: list[tuple[Claim, str]], chosen: int) -> None:
    things = [found(one, str(n), group) for n, (one, group) in enumerate(parts)]
    entries = [accepting(one.claim.rule, str(n)) for n, one in enumerate(things) if n == chosen]
    fold = Fold(things, entries)
    findings = fold.findings()
    assert sorted(name for one in findings for name in one.subjects) == [str(n) for n in range(len(things))]
    assert all(things[int(name)].claim.rule == one.rule for one in findings for name in one.subjects)
    assert not [one for one in findings if one.accepted and one.explained_by]
    assert len(fold.unmatched) + sum(one.accepted is not None for one in findings) == len(entries)
