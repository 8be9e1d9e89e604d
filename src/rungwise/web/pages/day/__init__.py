"""The day's calls, finding an old one, and a new one."""
