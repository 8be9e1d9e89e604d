"""Campaigns of simulated calls, worked to a verdict and counted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.evaluation.apprentice import (
        LEVELS,
        HiddenUnit,
        Judged,
        Level,
        LevelName,
        draw_fault,
    )
    from rungwise.evaluation.campaign import Study, run_study
    from rungwise.evaluation.isolation_tally import isolation_markdown, isolation_rows
    from rungwise.evaluation.isolation_trial import run_isolation
    from rungwise.evaluation.lesson import (
        Done,
        Lesson,
        Reviewed,
        lesson_of,
        minutes_of,
        on_live_parts,
    )
    from rungwise.evaluation.lost_cabinets import run_cabinets
    from rungwise.evaluation.lost_tally import HEAD, cabinets_markdown, groups
    from rungwise.evaluation.other_proof import run_other_proofs
    from rungwise.evaluation.other_tally import (
        ARRANGEMENT_COLUMNS,
        arrangement_cells,
        calls_markdown,
        reliability,
        rows,
    )
    from rungwise.evaluation.other_world import run_other_world
    from rungwise.evaluation.proof_tally import proof_markdown, proof_rows
    from rungwise.evaluation.result_file import read_results
    from rungwise.evaluation.truth import Truth
    from rungwise.evaluation.worked_call import free_symptoms
else:
    __getattr__ = door(__name__)
