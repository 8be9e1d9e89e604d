"""This phone: the secure connection, the installed app, and what was taken along."""
