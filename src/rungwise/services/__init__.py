"""What a call, a unit, a part or a record of wires amounts to, as values and as JSON.

Commands, pages and papers all tell what is worked out here, so that they say the same.
"""

from rungwise.services.diagnose import CallDiagnosis, answer_of, answered
from rungwise.services.diagnosis_service import DiagnosisService
from rungwise.services.input_files import (
    UnitSource,
    call_from_text,
    call_from_values,
    is_call,
    open_call,
    open_unit,
    unit_from_text,
)

__all__ = [
    "CallDiagnosis",
    "DiagnosisService",
    "UnitSource",
    "answer_of",
    "answered",
    "call_from_text",
    "call_from_values",
    "is_call",
    "open_call",
    "open_unit",
    "unit_from_text",
]
