"""Who is working, and whether the page is for sun or night."""
