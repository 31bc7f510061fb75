"""What the drawings of all systems are made of: views, wheels, ground, handles and moves."""
