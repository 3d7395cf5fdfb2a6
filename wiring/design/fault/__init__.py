"""The machine in a fault: ways and currents of short circuits, who opens on them, and when.

Faults of control circuits are in `wiring/control`, what they do to a stop in `stop`.
"""
