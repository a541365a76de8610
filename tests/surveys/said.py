"""What is written beside the answers about a filter."""

SAID = {"filter-type-fits": "activated carbon for solvents, 12 kg", "filter-in-date": "2026-01-05"}


def yes(code):
    """A yes with what belongs beside it."""
    return {"check": code, "answer": "yes"} | ({"said": SAID[code]} if code in SAID else {})
