"""From a circuit to its operating point and its short circuits: networks, their solution, contacts coming to rest.

No rulebook and no verdict lives here; states and demands come from `design`, faults of control from `control`.
"""
