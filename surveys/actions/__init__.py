"""Every change of state of what was found, and of what follows from it."""
