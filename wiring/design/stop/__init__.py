"""The stops: what they remove, without a fault and under every one, what lingers, and what starts again.

The proof itself is played in `wiring/control`; here it is asked and gathered.
"""
