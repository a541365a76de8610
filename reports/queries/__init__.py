"""From rows to the plain values that prints take."""
