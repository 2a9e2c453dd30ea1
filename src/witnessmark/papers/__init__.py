"""Values in, finished drawing or document out."""
