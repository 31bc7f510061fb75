"""The rear as work for the shop."""
