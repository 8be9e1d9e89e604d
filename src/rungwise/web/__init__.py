"""The app in the yard: pages that work without script, each with a JSON twin."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.web.app import create_app
    from rungwise.web.authority import Authority
    from rungwise.web.middleware import ReportDoor
    from rungwise.web.pages.paper.papers import paper_of
    from rungwise.web.secure import Door, Secure
else:
    __getattr__ = door(__name__)
