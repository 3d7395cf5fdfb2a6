"""Changes to a plan as data, the text with them made, and what they do to the solved machine."""
