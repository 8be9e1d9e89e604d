"""The right part: does a candidate do here what the original did, and is it strong enough?"""

from __future__ import annotations

from rungwise.replacement.candidate import Candidate
from rungwise.replacement.candidate_file import read_candidate, read_candidates
from rungwise.replacement.fit import Fit, fit, ranked
from rungwise.replacement.reason import Reason, Verdict, Weight

__all__ = [
    "Candidate",
    "Fit",
    "Reason",
    "Verdict",
    "Weight",
    "fit",
    "ranked",
    "read_candidate",
    "read_candidates",
]
