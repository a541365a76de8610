"""Pages and files that are printed or taken away."""
