"""The IEC and the North American rulebook: tables with source and standing in every row, and the formulas on them.

Nothing here knows a plan, a part or a design; what a limit means for a machine is said in `rules`.
"""
