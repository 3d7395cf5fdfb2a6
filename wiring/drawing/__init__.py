"""The drawing: sheets by function, symbols, routing, one writer of SVG, and the checks that a drawing must pass.

The symbol of a kind and the sheet it goes to are traits of the part; lists and the pack live in `documents`.
"""
