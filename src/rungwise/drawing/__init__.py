"""Drawing: pictures of a unit from the model alone, with its state on them."""

from __future__ import annotations

from rungwise.drawing.charts import BeliefRow, Limit, Visit, belief_bars, trend
from rungwise.drawing.ink import plain
from rungwise.drawing.ladder import ladder
from rungwise.drawing.marks import Lead, Marks, marks_of
from rungwise.drawing.panel import panel
from rungwise.drawing.picture import LabelBox, Picture

__all__ = [
    "BeliefRow",
    "LabelBox",
    "Lead",
    "Limit",
    "Marks",
    "Picture",
    "Visit",
    "belief_bars",
    "ladder",
    "marks_of",
    "panel",
    "plain",
    "trend",
]
