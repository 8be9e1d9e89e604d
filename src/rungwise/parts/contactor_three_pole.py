"""The contactor with three poles, as on three-phase units and as a spare on single-phase ones."""

from __future__ import annotations

from rungwise.parts.contactor import contactor

KINDS = (contactor(3, "three-pole contactor"),)
