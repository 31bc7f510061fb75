"""From a study to strokes on paper: lines, arcs, dimensions and words; knows no Qt."""
