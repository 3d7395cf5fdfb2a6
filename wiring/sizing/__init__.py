"""Sizes: ladders of standard steps, what limits ask of them, and the least steps that meet all of it at once."""
