"""The systems of the car behind one shape: inputs, study, drawing, words, work. No Qt."""
