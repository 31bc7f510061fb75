"""How near the envelopes of parts come to each other over all poses that a car can take."""
