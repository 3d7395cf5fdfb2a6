"""Sources and rails: what they deliver, what hangs on them, and the voltages that loads get of them.

What is lost on the way is in `conductor`.
"""
