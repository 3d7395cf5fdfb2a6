"""First power-up: the ordered sheet of what to set, where to measure and what to expect; and what a reading tells.

Readings come from solved networks of `solver`; how the sheet is set lives in `documents`.
"""
