"""A list that makes a hood another one enters what ended its approvals; of a hood that has none it tells of no end.

What is told of hoods that stand approved is tested in tests/surveys/test_list_ends.py.
"""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import call_command

from tests.hoods.listed import comma, shown

pytestmark = pytest.mark.django_db

CASES = [
    # columns of the row, events, why
    ({"kind": "filtered"}, ["kind-changed"], "another kind"),
    ({"control": "variable-volume"}, ["control-changed"], "another control"),
    ({"sash": "none"}, ["sash-changed"], "another sash"),
    ({"powered": "yes"}, ["sash-changed"], "a motor"),
    ({"opening 1 name": "working", "opening 1 use": "other"}, ["opening-changed"], "another use"),
    ({"opening 1 name": "working", "opening 1 height": "20 in"}, ["opening-changed"], "another size"),
    ({"maker": "Alder"}, [], "a name"),
    ({"opening 1 name": "working", "opening 1 height": "457 mm"}, [], "the same size, as the pages print it"),
    (
        {"kind": "other", "opening 1 name": "working", "opening 1 height": "20 in"},
        ["kind-changed", "opening-changed"],
        "both",
    ),
]


@pytest.mark.parametrize(("row", "events", "why"), CASES, ids=[case[-1] for case in CASES])
def test_what_ends_approvals_is_entered(manager, hood, row, events, why):
    before, address = shown(manager, comma({"tag": "FH-0142", **row}))
    assert "approval" not in before.content.decode(), "it has none to lose"
    manager.post(address, {"seen": before.context["plan"].digest})
    found = hood.events.exclude(kind="installed").order_by("pk")
    assert [event.kind for event in found] == events, why
    assert all(event.why.startswith("From the list ") for event in found), "the event keeps why"


def test_a_dry_run_of_the_command_enters_nothing(tmp_path, hood, programme_manager):
    file = tmp_path / "hoods.csv"
    file.write_bytes(comma({"tag": "FH-0142", "kind": "filtered"}))
    out = StringIO()
    call_command("import_hoods", str(file), "--dry-run", stdout=out)
    assert "approval" not in out.getvalue(), "it has none to lose"
    assert not hood.events.exclude(kind="installed").exists()


def test_the_same_list_again_ends_nothing_more(manager, hood):
    data = comma({"tag": "FH-0142", "kind": "filtered"})
    before, address = shown(manager, data)
    manager.post(address, {"seen": before.context["plan"].digest})
    again, _address = shown(manager, data)
    assert "This list changes nothing" in again.content.decode()
    assert hood.events.filter(kind="kind-changed").count() == 1
