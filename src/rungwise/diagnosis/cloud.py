"""Smoothing of particles that are a cloud without an order, as a table from elsewhere may have."""

from __future__ import annotations

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray

NEIGHBOURS_PER_ROOT = 0.7  # the kernel reaches to the (0.7 √K)-th neighbour of K particles
KERNEL_PER_REACH = 1.5  # the nearer side's reach is short by about this in an even cloud
KERNEL_LIMIT = 0.15  # on the scale: no kernel bridges two separate groups of readings


def cloud_widths(suspect_of: IntArray, z: FloatArray, variance: FloatArray) -> FloatArray:
    """Smoothing width of every particle's reading, float [N, M], on the scale.

    As wide as the gaps in the suspect's own cloud: the reach to the j-th neighbour on the nearer
    side, j = ceil(0.7 √K). Where a suspect has one reading only, that is 0 and the meter error is
    all; where its readings fall into groups, each group has its own width. 0 where not finite.
    """
    widths = np.zeros(z.shape)
    for suspect in np.unique(suspect_of):
        rows = np.flatnonzero(suspect_of == suspect)
        cloud = np.where(np.isfinite(z[rows]), z[rows], np.nan)
        limit = KERNEL_LIMIT + 2.0 * np.sqrt(variance[rows])
        widths[rows] = np.nan_to_num(np.fmin(KERNEL_PER_REACH * _reach(cloud), limit), nan=0.0)
    return widths


def _reach(cloud: FloatArray) -> FloatArray:
    """Distance to the j-th neighbour on the nearer side, column by column; NaN is left out."""
    count = len(cloud)
    if count == 1:
        return np.zeros_like(cloud)
    # Growing with the root: the kernel narrows as particles are added, and still spans several.
    step = min(int(np.ceil(NEIGHBOURS_PER_ROOT * np.sqrt(count))), count - 1)
    order: IntArray = np.argsort(cloud, axis=0)  # NaN comes last
    rising = np.take_along_axis(cloud, order, axis=0)
    gaps = rising[step:] - rising[:-step]
    beyond = np.full((step, cloud.shape[1]), np.inf)
    up = np.concatenate([np.where(np.isnan(gaps), np.inf, gaps), beyond])
    down = np.concatenate([beyond, gaps])
    nearer = np.fmin(up, down)
    reach = np.empty_like(cloud)
    np.put_along_axis(reach, order, np.where(np.isfinite(nearer), nearer, 0.0), axis=0)
    return reach
