"""What stays as it is for ever: a retired hood."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from hoods import queries
from hoods.actions.refusal import NotSo
from hoods.models import Hood


def refuse_retired(hood: Hood) -> None:
    if queries.life(hood) == "retired":
        raise NotSo(_("This hood is retired: its records stay as they are. Register another hood."))
