"""An axle on leaf springs: loop, pack, ride, roll, wind-up, hop."""
