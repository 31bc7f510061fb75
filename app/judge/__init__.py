"""What is asked of the car as a whole."""
