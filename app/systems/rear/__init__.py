"""The rear of the car, on leaf springs or on links."""
