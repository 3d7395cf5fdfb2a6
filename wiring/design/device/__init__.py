"""Protective devices: which limits what, and what flows through them; the feed of the machine, transformers.

What they do in a short circuit is in `fault`, the devices of motors are in `motor`.
"""
