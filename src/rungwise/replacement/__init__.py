"""The right part: does a candidate do here what the original did, and is it strong enough?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.replacement.candidate import Candidate
    from rungwise.replacement.candidate_file import (
        candidate_schema,
        candidates_from,
        read_candidate,
        read_candidates,
    )
    from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS, CandidateKind, standing_in_for
    from rungwise.replacement.fit_rules import Fit, fit, ranked
    from rungwise.replacement.nec.unbalance import DEFINITION, NOT_ABOVE, derating, unbalance
    from rungwise.replacement.place_rules import rules_of_the_place
    from rungwise.replacement.plate import Plate, Surroundings, plate_of
    from rungwise.replacement.plate_contradictions import contradictions_of
    from rungwise.replacement.plate_figures import PlateFinding, Standing
    from rungwise.replacement.reason import Reason, Verdict, Weight
else:
    __getattr__ = door(__name__)
