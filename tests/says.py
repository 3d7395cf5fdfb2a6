"""What a finding says, held whole: its signal word, its limit with the source, one of its numbers and its mend."""

from __future__ import annotations

import pytest

from wiring.findings import Finding


def assert_says(
    finding: Finding,
    signal: str,
    *,
    limit: tuple[float, str, str] | None = None,
    number: tuple[str, float, str] | None = None,
    mend: str | None = None,
    rel: float = 1e-3,
) -> None:
    """A finding speaks this word and names these figures; one that it has and the test leaves out fails as well.

    `limit` is value, unit and "standard clause", `number` name, value and unit. `mend` is a piece of one of its
    sentences, with the figure in it where there is one. `rel` is how far a figure by hand may be off, as a share.
    """
    assert finding.signal == signal
    assert (finding.limit is None) == (limit is None), finding.limit
    if finding.limit is not None and limit is not None:
        source = finding.limit.source
        assert finding.limit.value == pytest.approx(limit[0], rel=rel)
        assert (finding.limit.unit, f"{source.standard} {source.clause}".strip()) == limit[1:]
    assert bool(finding.numbers) == (number is not None), finding.numbers
    if number is not None:
        values = [(one.value, one.unit) for one in finding.numbers if one.name == number[0]]
        assert [unit for _, unit in values] == [number[2]], finding.numbers
        assert values[0][0] == pytest.approx(number[1], rel=rel)
    assert bool(finding.mends) == bool(mend), finding.mend
    if mend is not None:
        assert any(mend in way for way in finding.mend), finding.mend
