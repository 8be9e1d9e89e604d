"""One small table for the whole room: proofs on simulated specimens of one unit, its plate read."""

from __future__ import annotations

import pytest
from tests.verification.proof_trial import ProofTrial

from rungwise.files.document import Document
from rungwise.unit.unit_file import unit_from

PLATED = """\
arrangement = "one_pole_heater"
[nameplate]
volt = "208/230 V"
rla_a = 16
lra_a = 80
fan_fla_a = 1.3
herm_uf = 45
fan_uf = 5
heater_w = 70
"""


@pytest.fixture(scope="session")
def trial() -> ProofTrial:
    """Proofs on the one-pole arrangement with a crankcase heater."""
    made = ProofTrial(unit_from(Document(PLATED, file="plated.toml"), name="plated"), particles=16)
    assert made.model.table.particles > 0
    return made
