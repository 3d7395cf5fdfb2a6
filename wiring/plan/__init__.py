"""The file a person writes about a machine, and what reading it gives."""
