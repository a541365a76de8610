"""What exists, and who."""

from hoods.models.hood import FormerName, Hood, HoodEvent, Opening, Placement
from hoods.models.log import Entry
from hoods.models.people import Person, Role
from hoods.models.place import Building, ExhaustSystem, Room, Site

__all__ = [
    "Building", "Entry", "ExhaustSystem", "FormerName", "Hood", "HoodEvent", "Opening", "Person", "Placement",
    "Role", "Room", "Site",
]  # fmt: skip
