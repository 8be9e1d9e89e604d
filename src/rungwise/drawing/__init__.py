"""Drawing: pictures of a unit from the model alone, with its state on them."""

from __future__ import annotations

from rungwise.drawing.marks import Marks
from rungwise.drawing.panel import panel
from rungwise.drawing.picture import LabelBox, Picture

__all__ = ["LabelBox", "Marks", "Picture", "panel"]
