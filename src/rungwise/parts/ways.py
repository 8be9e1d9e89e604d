"""Unknown ways: what else may be wrong with a part than the ways listed for its kind.

So that a strange fault is found by its place and is said to be of no known way (unknown modes:
de Kleer & Williams 1989).  Their weights are common practice, no source: in all 3 or 4% of a
part's share.
"""

from __future__ import annotations

from rungwise.parts.kind import Draw, Mode

NONE_LISTED = "(none of the listed ones)"


def another(
    name: str,
    noun: str,
    weight: float,
    edits: tuple[Draw, ...],
    repair: tuple[str, str],
    shown_by: frozenset[str],
    wrong_minutes: float,
) -> Mode:
    """The mode `another_<name>`: a fault of the `noun` that has no listed way.

    `repair` is the part's own key, so that it counts as the same answer, and what to do.
    """
    return Mode(
        f"another_{name}",
        f"another fault of the {noun} {NONE_LISTED}",
        weight,
        edits,
        *repair,
        known=False,
        shown_by=shown_by,
        wrong_minutes=wrong_minutes,
    )
