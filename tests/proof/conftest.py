"""One small table for the whole room: proofs on simulated specimens of one arrangement."""

from __future__ import annotations

import pytest

from rungwise.study.proof_trial import ProofTrial
from rungwise.unit.unit_file import arrangement


@pytest.fixture(scope="session")
def trial() -> ProofTrial:
    """Proofs on the one-pole arrangement with a crankcase heater."""
    made = ProofTrial(arrangement("one_pole_heater"), particles=16)
    assert made.model.table.particles > 0
    return made
