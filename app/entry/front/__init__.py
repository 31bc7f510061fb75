"""The guide through a double-wishbone front."""
