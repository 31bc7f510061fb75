"""How near parts come to each other: their envelopes, and the least distance between two."""
