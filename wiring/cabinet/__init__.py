"""The cabinet to scale: which part stands where, the ducts between the rows, and the ways of conductors through them.

All lengths are in mm, from the lower left corner of the plate (or door) as seen from the front, y upwards.
"""
