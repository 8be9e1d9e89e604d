"""Laying out the part that a call says was or will be fitted."""

from __future__ import annotations

from rungwise.cli.fitting_told import tell_fitting
from rungwise.cli.page import Page
from rungwise.services import CallPart


def tell_fitted(page: Page, fitted: CallPart) -> None:
    """Print it."""
    page.heading("the part fitted")
    if fitted.beside:
        page.warn("NOTICE", f"{fitted.beside}")
    tell_fitting(page, fitted.found)
