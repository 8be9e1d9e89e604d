"""The sentences that commands, pages and papers share."""
