"""The file a person writes about a machine, and what reading it gives: models, places, faults; edits as data.

What a kind of part is lives in `parts`; edits are made in `changes`.
"""
