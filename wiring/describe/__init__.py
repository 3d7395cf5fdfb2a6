"""From a short description of a machine to a complete plan."""
