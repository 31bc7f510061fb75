"""Export of pictures and tables."""

from app.export.pictures import write_curves, write_drawing
from app.export.tables import write_curve_table, write_points, write_results

__all__ = ["write_curve_table", "write_curves", "write_drawing", "write_points", "write_results"]
