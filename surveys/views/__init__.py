"""Pages of surveys, hoods, rooms, criteria and instruments."""
