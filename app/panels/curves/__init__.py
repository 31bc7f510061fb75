"""Results as curves."""
