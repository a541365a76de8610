"""Tables to take away, as files: rows in, bytes out."""
