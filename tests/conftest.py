"""What every test shares."""

from __future__ import annotations

from hypothesis import settings

# No deadline: a busy machine must not turn a right answer into a failed test.
settings.register_profile("house", deadline=None, print_blob=True)
settings.load_profile("house")
