"""A new car, measured point by point, and the only place where measured values are corrected."""
