"""The drawing: sheets by function, symbols, routing, and one writer of SVG.

The symbol of a kind and the sheet it goes to are traits of the part; lists and the pack live in `documents`.
"""
