"""Taking back what was entered last, for every page that records something."""
