"""Contacts and coils: what contacts close on and carry, what coils hang on, and what is never on together.

Contacts of a stop are in `stop`.
"""
