"""Drawing: pictures of a unit from the model alone, with its state on them."""

from __future__ import annotations

from rungwise.drawing.ladder import ladder
from rungwise.drawing.marks import Marks, marks_of
from rungwise.drawing.panel import panel
from rungwise.drawing.picture import LabelBox, Picture

__all__ = ["LabelBox", "Marks", "Picture", "ladder", "marks_of", "panel"]
