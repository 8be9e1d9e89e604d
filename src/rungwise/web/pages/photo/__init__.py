"""Photos themselves, and taking one out of sight."""
