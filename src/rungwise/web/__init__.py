"""The app in the yard: pages that work without script, each with a JSON twin."""
