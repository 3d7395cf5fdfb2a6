"""The cabinet: its heat, what lies in its ducts and routes, and where its parts stand.

Outlines and ways of wires are in `wiring/cabinet`, which knows nothing that is solved.
"""
