"""Motors, drives and brakes: what they ask for, their circuits, and what they feed back.

What a stop leaves to them is in `stop`.
"""
