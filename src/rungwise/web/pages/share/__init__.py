"""A customer's report by a link: made, opened, ended."""
