"""Practice for an apprentice: a call with a hidden fault, its score, and how the last ones went."""
