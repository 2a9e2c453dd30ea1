"""Flow through a graph: circuits, one nodal solver."""
