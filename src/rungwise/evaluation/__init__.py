"""Campaigns of simulated calls, worked to a verdict and counted."""

from rungwise.evaluation.campaign import Study, run_study

__all__ = ["Study", "run_study"]
