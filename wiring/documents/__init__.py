"""What goes to the bench: lists, labels, and the pack of all sheets as one PDF."""
