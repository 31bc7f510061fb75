"""The front as work for the shop."""
