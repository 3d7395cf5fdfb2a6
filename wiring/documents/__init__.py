"""What goes to the bench: lists, labels, and the pack of all sheets as one PDF.

Sheets are drawn in `drawing`, findings printed in `reports`; nothing is judged or computed here.
"""
