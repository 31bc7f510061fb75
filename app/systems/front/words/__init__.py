"""The front in sentences."""
