"""The one object of truth, with signals."""
