"""Drawing: pictures of a unit from the model alone, with its state on them."""

from __future__ import annotations

from rungwise.drawing.charts import BeliefRow, Limit, Visit, belief_bars, trend
from rungwise.drawing.ink import plain
from rungwise.drawing.ladder_picture import ladder
from rungwise.drawing.lettering import SMALLEST, text_width
from rungwise.drawing.marks import Lead, Marks, marks_of
from rungwise.drawing.panel_picture import panel
from rungwise.drawing.picture import LabelBox, Picture
