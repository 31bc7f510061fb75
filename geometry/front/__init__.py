"""The front: a double-wishbone corner, both sides on the road, and its results."""
