"""A live axle on five links."""
