"""Plan and parts joined: nodes of (part, terminal), conductors between them, roles of rails, axes.

What a part is lives in `parts`, what flows in `solver`, what follows from both in `design`.
"""
