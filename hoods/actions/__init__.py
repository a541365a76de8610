"""Every change of what exists, and of who may do what: one transaction, with its entry in the log."""

from hoods.actions.hood import (
    bring_back,
    change_hood,
    hibernate_hood,
    move_hood,
    replace_code,
    retire_hood,
    shift_hood,
    take_out_of_service,
    wake_hood,
)
from hoods.actions.inventory_list import keep_in_parts, keep_list
from hoods.actions.opening import add_opening, change_opening
from hoods.actions.people import (
    change_person,
    change_person_invited,
    disable_person,
    enable_person,
    end_role,
    give_role,
    invite_person,
    renew_link,
)
from hoods.actions.place import add_building, add_exhaust, add_room, change_building, change_exhaust, change_room
from hoods.actions.refusal import Refused
from hoods.actions.registering import register_hood, register_hoods
from hoods.actions.site import add_site, change_site

__all__ = [
    "Refused", "add_building", "add_exhaust", "add_opening", "add_room", "add_site", "bring_back",
    "change_building", "change_exhaust", "change_hood", "change_opening", "change_person", "change_person_invited", "change_room",
    "change_site", "disable_person", "enable_person", "end_role", "give_role", "hibernate_hood", "invite_person",
    "keep_in_parts", "keep_list", "move_hood", "register_hood", "register_hoods", "renew_link", "replace_code", "retire_hood",
    "shift_hood", "take_out_of_service", "wake_hood",
]  # fmt: skip
