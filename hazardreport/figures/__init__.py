"""Charts, schematic and plates as one list of strokes, fills and texts."""
