"""The pages, one router a noun."""
