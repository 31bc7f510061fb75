"""Hop, tramp and wind-up of a rigid axle, whatever holds it."""
