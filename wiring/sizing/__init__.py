"""Sizes: ladders of standard steps, what limits ask of them, and the least steps that meet all of it at once.

The limits themselves live in `rules`, which give them as requirements; the text of a plan is changed in `changes`.
"""
