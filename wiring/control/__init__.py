"""The control circuit in motion: what a person does, what contacts and coils answer, and what a fault makes of it."""
