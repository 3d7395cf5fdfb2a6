"""The protective earth and the neutral: what they reach, carry and leak, and what stands on neither.

Whether a fault to earth is cleared is in `fault`.
"""
