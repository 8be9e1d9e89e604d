"""How the server is: whether its records can be reached, and how much it keeps at hand."""
