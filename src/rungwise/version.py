"""Which Rungwise this is; apart from the package's face, so that who asks loads no library."""

from __future__ import annotations

__version__ = "0.1.0"
