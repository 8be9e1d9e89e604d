"""The smallest set of checks that covers every case, exactly."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.optimize import Bounds, LinearConstraint, milp

from rungwise.unit.element import FloatArray

BoolTable = npt.NDArray[np.bool_]


def minimum_cover(covers: BoolTable, dislike: FloatArray) -> tuple[int, ...]:
    """The columns of a smallest set that covers every row, in column order.

    ``covers`` [rows, columns] says which check shows which case.  ``dislike`` [columns], each in
    [0, 1), only decides between sets of the same size.  Exact: a binary program solved by
    branch and bound (scipy's HiGHS),  min Σ x_j (1 + ε d_j)  with  Σ_j a_ij x_j ≥ 1.
    Raises ValueError when a row is covered by no column.
    """
    if not covers.any(axis=1).all():
        raise ValueError("a case is covered by no check")
    rows = _hardest_rows(covers)
    if not rows.size:
        return ()
    kept = _columns_worth(rows, dislike)
    # A smallest set has at most one column a row, so the dislikes together stay below one.
    weights = 1.0 + 0.9 * dislike[kept] / len(rows)
    solved = milp(
        weights,
        integrality=np.ones(len(kept), dtype=np.int64),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(rows[:, kept].astype(float), lb=1.0),
        options={"mip_rel_gap": 0.0},
    )
    if solved.x is None:
        raise RuntimeError(solved.message)
    return tuple(int(column) for column in kept[np.asarray(solved.x) > 0.5])


def _hardest_rows(covers: BoolTable) -> BoolTable:
    """Rows without those that are covered whenever another one is."""
    rows = np.unique(covers, axis=0)
    implied = np.asarray(
        (rows[:, None, :] <= rows[None, :, :]).all(axis=2)
    )  # row i covered → row j covered
    np.fill_diagonal(implied, val=False)
    return np.asarray(rows[~implied.any(axis=0)])


def _columns_worth(rows: BoolTable, dislike: FloatArray) -> npt.NDArray[np.intp]:
    """Of columns that cover the same rows, the best liked; columns that cover none left out."""
    best: dict[bytes, int] = {}
    for column in np.lexsort((np.arange(len(dislike)), dislike)):
        if rows[:, column].any():
            best.setdefault(rows[:, column].tobytes(), int(column))
    return np.array(sorted(best.values()), dtype=np.intp)
