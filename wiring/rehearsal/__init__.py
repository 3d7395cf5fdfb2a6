"""The page that follows a plan file while it is edited, and on which its machine is worked: a calculation.

It knows every other room and none knows it. What it needs beyond them comes with the extra `wiring[rehearse]`.
"""
