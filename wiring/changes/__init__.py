"""Changes to a plan as data, the text with them made, and what they do to the solved machine.

Edits as data live in `plan`, the sizes that pass in `sizing`; what is judged, `rules` judge.
"""
