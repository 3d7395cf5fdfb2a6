"""Two fuses of one rating that lead to one terminal: the check once ended in an error there."""

from __future__ import annotations

from mutants import all_mutants, answer


def test_two_equal_fuses_in_parallel_are_judged() -> None:
    name = "foam-gantry: input moved to the next input: 420 to A1:I12"
    [mutant] = [m for m in all_mutants() if m.name == name]
    assert answer(mutant).crashed == ()
