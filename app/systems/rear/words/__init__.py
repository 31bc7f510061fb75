"""The rear in sentences."""
