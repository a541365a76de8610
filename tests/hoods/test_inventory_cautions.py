"""What a list changes that people act on and that ends no approval: said before it is kept, on the page and by the command."""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import call_command

from hoods import actions
from tests.hoods.listed import NEW, comma, shown
from tests.hoods.registering import AT
from tests.surveys.words import said

pytestmark = pytest.mark.django_db

TAKEN = "What is forbidden in one hood is taken away: FH-0142. An empty cell clears it."
OTHER = "Other uses are forbidden in one hood than before: FH-0142."
WITHOUT = "One new perchloric acid hood says nothing in “uses forbidden”: FH-0007."
SET = "The monitor of one hood is set to a velocity below 10 or above 500 ft/min: FH-0007."
MOVED = "The exhaust of one hood is written otherwise: FH-0142."
CASES = [
    ({"tag": "FH-0142", "uses forbidden": ""}, TAKEN),
    ({"tag": "FH-0142", "uses forbidden": "no acids"}, OTHER),
    ({"tag": "FH-0142", "uses forbidden": "No organic materials."}, ""),
    ({"tag": "FH-0142", "maker": "Alder"}, ""),
    ({"tag": "FH-0142", "exhaust": "EF-77"}, MOVED),
    ({"tag": "FH-0142", "exhaust": ""}, ""),
    (NEW | {"kind": "perchloric-acid", "uses forbidden": ""}, WITHOUT),
    (NEW | {"kind": "perchloric-acid"}, ""),
    (NEW | {"uses forbidden": ""}, ""),
    (NEW | {"set point": "5000 fpm"}, SET),
    (NEW | {"set point": "500 fpm"}, ""),
]


@pytest.mark.parametrize(("row", "caution"), CASES)
def test_what_is_changed_that_people_act_on_is_said(manager, hood, programme_manager, tmp_path, row, caution):
    rule = {"uses_forbidden": "No organic materials."}
    actions.change_hood(hood=hood, by=programme_manager, at=AT, **rule)
    words = said(shown(manager, comma(row))[0])
    assert [one for one in (TAKEN, OTHER, WITHOUT, SET, MOVED) if one in words] == ([caution] if caution else [])
    file = tmp_path / "hoods.csv"
    file.write_bytes(comma(row))
    out = StringIO()
    call_command("import_hoods", str(file), "--dry-run", stdout=out)
    assert [one for one in (TAKEN, OTHER, WITHOUT, SET, MOVED) if one in out.getvalue()] == ([caution] if caution else [])


def test_another_exhaust_ends_nothing_and_says_what_a_move_ends(manager, hood):
    words = said(shown(manager, comma({"tag": "FH-0142", "exhaust": "EF-77"}))[0])
    assert "If the hood has moved or was re-ducted, say so on its page: a move ends its approval." in words
