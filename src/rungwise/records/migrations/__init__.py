"""How the tables came to their form, one step a file; Alembic runs them."""
