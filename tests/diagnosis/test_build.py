"""The fault table as built from a circuit."""

from __future__ import annotations

import numpy as np
import pytest
from tests.tables import solved

from rungwise.diagnosis.build import PARTICLES, build_table, table_digest, table_of
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.fault_table import FaultTable
from rungwise.faults import SuspectSet
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

HARDLY_SEEN = {"heater_line", "heater_load", "heater_feed", "heater_return"}
"""Wires whose bad joint changes next to nothing: they carry a third of an ampere at most."""

FIRST_LEAK = "another_coil_leak"
"""Where no side of the 24 V is grounded, one leak to the cabinet carries no current."""


@pytest.fixture(scope="module", params=FIRST_ARRANGEMENTS)
def table(request: pytest.FixtureRequest) -> FaultTable:
    return solved(arrangement(request.param))


def test_a_table_holds_every_suspect_and_every_check(table: FaultTable) -> None:
    assert len(table.suspects) >= 90
    assert len(table.checks) >= 120
    each = np.bincount(table.suspect_of)
    assert table.reading.shape == (each.sum(), len(table.checks))
    assert each.min() >= PARTICLES // 2
    assert each.max() <= 2 * PARTICLES


def test_every_suspect_can_be_told_from_a_good_unit(table: FaultTable) -> None:
    """Some check's reading moves by more than three deviations, or some look changes."""
    healthy = table.suspect_index("nothing.found")
    for at, suspect in enumerate(table.suspects):
        if at == healthy or suspect.part in HARDLY_SEEN or suspect.mode == FIRST_LEAK:
            continue
        assert _differs(table, at, healthy), suspect.id


def _differs(table: FaultTable, one: int, other: int) -> bool:
    """Whether some reading lies outside all of the other's, or a look comes out otherwise."""
    a, b = table.suspect_of == one, table.suspect_of == other
    for column, card in enumerate(table.checks):
        if card.form == "choice":
            chances = table.choice_probability[column]
            if np.abs(chances[a].mean(axis=0) - chances[b].mean(axis=0)).max() > 0.2:
                return True
            continue
        first, second = table.reading[a, column], table.reading[b, column]
        if np.isinf(first).any() != np.isinf(second).any():
            return True
        finite = first[np.isfinite(first)]
        error = 3 * table.reading_sd[a, column][np.isfinite(first)]
        good = second[np.isfinite(second)]
        if good.size and ((finite < good.min() - error) | (finite > good.max() + error)).any():
            return True
    return False


def test_a_chosen_few_suspects_read_the_same_as_in_the_whole_table() -> None:
    """What a suspect reads does not depend on which others are worked beside it."""
    suspects = SuspectSet(arrangement("one_pole_heater"))
    checks = checks_of(suspects.unit)
    few = [suspects.suspect(name) for name in ("fan.seized", "nothing.found")]
    alone = table_of(suspects, checks, 4, chosen=few[:1])
    both = table_of(suspects, checks, 4, chosen=few)
    finite = np.isfinite(alone.reading)
    np.testing.assert_allclose(
        alone.reading[finite], both.reading[: len(alone.reading)][finite], rtol=1e-6, atol=1e-9
    )


def test_progress_is_told_up_to_the_end() -> None:
    told: list[float] = []
    build_table(arrangement("two_pole_plain"), particles=2, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_the_digest_follows_the_unit_and_the_particles() -> None:
    unit = arrangement("two_pole_plain")
    assert table_digest(unit) != table_digest(arrangement("one_pole_heater"))
    assert table_digest(unit, 48) != table_digest(unit, 24)
