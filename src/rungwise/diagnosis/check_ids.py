"""The ids of looks: a symptom is told by the short one, in call files and in records.

An id is printed and kept; this is the one place where it is taken apart.
"""

from __future__ import annotations

from collections.abc import Container

__all__ = ["LOOK", "full_id", "look_id", "short_id"]

LOOK = "look-"


def look_id(name: str) -> str:
    """The id of the look that is told as the symptom `name`."""
    return f"{LOOK}{name}"


def short_id(check: str) -> str:
    """What a look is told as; any other check has its id alone."""
    return check.removeprefix(LOOK)


def full_id(check: str, known: Container[str]) -> str:
    """The id among those `known` that was meant, by itself or as a symptom; else as it stands."""
    return check if check in known or look_id(check) not in known else look_id(check)
