"""The work on a call as a phone takes it along: its cards, and what they are judged by."""
