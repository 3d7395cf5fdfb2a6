"""The drawing: sheets by function, symbols, routing, one writer of SVG, and the checks that a drawing must pass."""
