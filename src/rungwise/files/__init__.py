"""Text files that people write: documents, tables of keys, edits that keep what was typed."""
