"""The reports of a call: what they tell, and the PDFs to take away."""
