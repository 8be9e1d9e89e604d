"""How uncertain a reading is where a particle stands beyond a flip from its anchor.

Slopes are those of an anchor.  Where a switch that the anchor finds closed is open on a particle,
its reading is another circuit's, and the anchor's slopes say nothing of it: without more it would
pass for known to the meter's last digit.  So it is taken for as uncertain as the reading most like
it of all particles of the table that stand where their anchors do.
"""

from __future__ import annotations

import numpy as np

from rungwise.circuit import BoolArray
from rungwise.diagnosis.arrays import FloatArray, IntArray, RealArray
from rungwise.diagnosis.slopes import FLIP, Raw


def beyond_a_flip(raw: Raw, kept: int, drawn: int, alike: IntArray, anchors: int) -> BoolArray:
    """Which readings of the particles lie a flip away from their anchor's, bool [S * kept, M].

    raw: of specimens of which the first `kept` are particles and those behind the first `drawn`
    the anchors with what is moved. alike: int [S, kept], the anchor of each particle. A check that
    can be made on the particle alone counts; one that reads OL has no slope anywhere.
    """
    z = raw.z
    unmoved = z[:, drawn :: (z.shape[1] - drawn) // anchors]
    own = np.take_along_axis(unmoved, alike[:, :, None], axis=1)
    near = np.abs(z[:, :kept] - own) <= FLIP
    finite = np.isfinite(raw.reading[raw.first(kept)])
    return np.asarray(~near.reshape(finite.shape) & finite)


def as_uncertain_as_alike(
    reading: RealArray,
    reading_sd: RealArray,
    beyond: BoolArray,
    variance: FloatArray,
    slope_of: IntArray,
    floor: FloatArray,
) -> RealArray:
    """Standard deviations of readings, those beyond a flip wider; float [N, M].

    reading, reading_sd: in the checks' units. beyond: bool [N, M]. variance: float [Q, M], what
    the unknowns leave uncertain on the scale. slope_of: int [N]. floor: float [M], y0.
    """
    wider = reading_sd.copy()
    for at in np.flatnonzero(beyond.any(axis=0)):
        value, there = reading[:, at], beyond[:, at]
        lenders = np.flatnonzero(~there & np.isfinite(value))
        if not lenders.size:
            continue
        z = np.arcsinh(value / floor[at])
        lenders = lenders[np.argsort(z[lenders], kind="stable")]
        lent = lenders[_nearest(z[lenders], z[there])]
        stretch = np.hypot(value[there], floor[at])  # dy/dz
        wider[there, at] = np.hypot(
            reading_sd[there, at], stretch * np.sqrt(variance[slope_of[lent], at])
        )
    return wider


def _nearest(rising: RealArray, wanted: RealArray) -> IntArray:
    """Places in `rising` of the values nearest to those wanted; of two as near the lower."""
    above = np.clip(np.searchsorted(rising, wanted), 1, max(len(rising) - 1, 1))
    above = np.minimum(above, len(rising) - 1)
    below = np.maximum(above - 1, 0)
    return np.where(wanted - rising[below] <= rising[above] - wanted, below, above)
