"""The control circuit in motion: what a person does, what contacts and coils answer, and what a fault makes of it.

Which stop must take what away, and what of it is dangerous, is a fact of `design` and a verdict of `rules`.
"""
