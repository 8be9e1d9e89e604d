"""The library: what `import rungwise` gives to a program or a notebook, by plain values.

Nothing is worked out here: each function takes numbers, texts and dicts, asks the same use cases
as the commands and pages, and gives a frozen result that prints readably and keeps the whole
answer of the engine in its field `whole`.
"""

from __future__ import annotations

from rungwise.library.calls import Diagnosis, RepairVerdict, Suspicion, diagnose, prove
from rungwise.library.expected import ExpectedBand, ExpectedReadings, expect
from rungwise.library.operating import OperatingPoint, solve
from rungwise.library.unit_model import UnitModel, load
from rungwise.library.work import (
    DeadPlan,
    FitRanking,
    FitVerdict,
    WireMoves,
    WiresFound,
    fit,
    isolate,
    recover,
    rewire,
)
