"""The elimination of the equations of a few loads: solution and sign of the determinant against numpy."""

from __future__ import annotations

import numpy as np
import pytest

from wiring.solver.ports import _eliminate


@pytest.mark.parametrize("count", [1, 2, 3, 5])
@pytest.mark.parametrize("seed", range(4))
def test_solution_and_sign_agree_with_numpy(count: int, seed: int) -> None:
    random = np.random.default_rng(seed)
    matrix, right = random.normal(size=(count, count)), random.normal(size=count)
    sign, answer = _eliminate([[*row, value] for row, value in zip(matrix.tolist(), right.tolist(), strict=True)])
    assert answer == pytest.approx(np.linalg.solve(matrix, right).tolist(), rel=1e-9)
    assert sign == np.sign(np.linalg.det(matrix))


def test_a_singular_matrix_has_sign_0() -> None:
    assert _eliminate([[1.0, 2.0, 1.0], [2.0, 4.0, 1.0]]) == (0.0, [0.0, 0.0])
