"""Proof: after the repair, does the unit do its work, and does nothing hide behind the repair?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.verification.air import MoistAir
    from rungwise.verification.belief_after_repair import belief_after
    from rungwise.verification.checking import (
        Checked,
        ReadingLimits,
        good_limits,
        limits_by_model,
        limits_by_trade,
        model_band_text,
    )
    from rungwise.verification.cooling_proof import ChargeReadings, Conditions, charge_findings
    from rungwise.verification.course import Course
    from rungwise.verification.electric import bands_of, electric_findings
    from rungwise.verification.figures import microfarads_under_load
    from rungwise.verification.finding import Finding
    from rungwise.verification.good_band import GoodBand, ReadingLevel
    from rungwise.verification.masked_faults import Hidden, hidden_behind, repairs_named
    from rungwise.verification.proof_checks import GoodUnit, own_checks
    from rungwise.verification.proof_file import told_of
    from rungwise.verification.refrigerant import REFRIGERANTS, saturation_c
    from rungwise.verification.repair_proof import (
        cooling,
        cooling_unseen,
        proof_cards,
        prove,
        standing_levels,
    )
    from rungwise.verification.sights import RUNS_ON, outdoor_looks, own_sights, sights_of
    from rungwise.verification.start_story import SECONDS, StartStep, seconds_card, startup
    from rungwise.verification.told import Told
    from rungwise.verification.trade_limits import trade_bands
    from rungwise.verification.verdict import Proof, Standing, proof_of, standing
    from rungwise.verification.worth import Worth, needed_checks, next_proof_check
else:
    __getattr__ = door(__name__)
