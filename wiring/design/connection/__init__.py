"""Signals and terminals: what drives each input, and what is open, turned round or never closed.

The conductors between them are in `conductor`.
"""
