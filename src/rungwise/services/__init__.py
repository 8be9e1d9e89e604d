"""What a call, a unit, a part or a record of wires amounts to, as values and as JSON.

Commands, pages and papers all tell what is worked out here, so that they say the same.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.services.as_json import diagnosis_json, strict, unit_json
    from rungwise.services.call_files import CallPart, WiresAnswer, fitted_part, wired
    from rungwise.services.call_taking import CallTaking
    from rungwise.services.diagnose import SPOKEN_OF, CallDiagnosis, answer_of, answered
    from rungwise.services.diagnosis_result import DiagnosisResult
    from rungwise.services.diagnosis_service import DiagnosisService
    from rungwise.services.expect import Expectation, expectation, expectation_of
    from rungwise.services.fit import Fitting, fitting, fitting_among, fitting_of
    from rungwise.services.history.shop_calls import age_y, closed_calls
    from rungwise.services.history.shop_records import Notice
    from rungwise.services.history.shop_weights import own_weights
    from rungwise.services.input_files import (
        UnitSource,
        call_from_text,
        call_from_values,
        is_call,
        open_call,
        open_unit,
        unit_from_text,
        unit_of_draft,
    )
    from rungwise.services.isolate import (
        RUNNING_RULE,
        Isolation,
        isolation_of,
        keeps_running,
        running_on,
    )
    from rungwise.services.outlook_result import OutlookResult, ShopAheadResult
    from rungwise.services.prove import RepairProof, proof_json, proved, proved_of
    from rungwise.services.recover import EARTH_KEY, RecoverAnswer
    from rungwise.services.results import (
        FittingOfUnitResult,
        IsolationResult,
        RecoverResult,
        RepairProofResult,
        RewireResult,
    )
    from rungwise.services.rewire import RewireAnswer, crowded_text, judged_json, moves_json
    from rungwise.services.runtime.progress import Watching, unwatched
    from rungwise.services.runtime.result_cache import RESULTS, ResultCache
    from rungwise.services.runtime.table_store import fault_table
    from rungwise.services.runtime.worker_pool import elsewhere, elsewhere_open
    from rungwise.services.shape_unit import (
        OwnText,
        ShapedUnit,
        changed_unit,
        kept_text,
        shaped_unit,
        told_unit,
    )
    from rungwise.services.shop_forecast import (
        ShopAhead,
        ShopForecast,
        foreseen,
        foreseen_json,
        moved_weights,
        shop_ahead,
    )
    from rungwise.services.stated_limits import stated_spans
    from rungwise.services.wording.band_words import band_text
    from rungwise.services.wording.complaint_words import complaint_lines, weights_before
    from rungwise.services.wording.forecast_words import (
        NO_PROMISE,
        followed_way,
        left_told,
        measured_now,
        why_told,
        worn_told,
    )
    from rungwise.services.wording.near_end_words import near_end
    from rungwise.services.wording.story import (
        CLEAR_BITS,
        SPOKEN,
        WHY_STOP,
        by_band,
        minutes,
        own_line,
        question,
        share,
        why_this,
    )
    from rungwise.services.wording.terminal_words import (
        is_joint,
        moved_words,
        terminal_names,
        wire_called,
    )
else:
    __getattr__ = door(__name__)
