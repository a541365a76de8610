"""Three prints of the demo, for whoever wants to see paper first."""
