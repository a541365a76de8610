"""Which hoods can be set back: to a smaller flow while nobody works at them."""

from __future__ import annotations

SET_BACK = "set-back"
#: The volume controls that never change the flow, whatever the hour.
OF_ONE_FLOW = ("constant-volume", "bypass")


def cannot_be_set_back(control: str, use: str) -> bool:
    """Whether an opening is for set-back at a hood that has one flow alone: one of the two was mistaken."""
    return use == SET_BACK and control in OF_ONE_FLOW
