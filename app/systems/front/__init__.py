"""The front of the car."""
