"""A list that makes a hood another one says before it is kept which approvals end, and enters what ended them."""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import call_command

from tests.hoods.listed import comma, shown

pytestmark = pytest.mark.django_db

ALL = "One hood changes its kind, volume control or sash, which ends every approval."
SOME = "An opening of one hood changes its size, use or part."
CASES = [
    # columns of the row, what is said before, beside the column, events, why
    ({"kind": "filtered"}, ALL, "ends every approval", ["kind-changed"], "another kind"),
    ({"control": "variable-volume"}, ALL, "ends every approval", ["control-changed"], "another control"),
    ({"sash": "none"}, ALL, "ends every approval", ["sash-changed"], "another sash"),
    ({"powered": "yes"}, ALL, "ends every approval", ["sash-changed"], "a motor"),
    ({"opening 1 name": "working", "opening 1 use": "other"}, SOME, "ends its approval", ["opening-changed"], "another use"),
    ({"opening 1 name": "working", "opening 1 height": "20 in"}, SOME, "ends its approval", ["opening-changed"], "another size"),
    ({"maker": "Alder"}, "", "", [], "a name"),
    ({"opening 1 name": "working", "opening 1 height": "457 mm"}, "", "", [], "the same size, as the pages print it"),
    (
        {"kind": "other", "opening 1 name": "working", "opening 1 height": "20 in"}, ALL, "ends every approval",
        ["kind-changed", "opening-changed"], "both: said once, of the hood",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("row", "said", "beside", "events", "why"), CASES, ids=[case[-1] for case in CASES])
def test_what_ends_is_said_before_it_is_kept_and_entered_then(manager, hood, row, said, beside, events, why):
    before, address = shown(manager, comma({"tag": "FH-0142", **row}))
    page = before.content.decode()
    assert (ALL in page, SOME in page) == (said == ALL, said == SOME), why
    assert (beside in page) if beside else "approval" not in page
    manager.post(address, {"seen": before.context["plan"].digest})
    found = hood.events.exclude(kind="installed").order_by("pk")
    assert [event.kind for event in found] == events
    assert all(event.why.startswith("From the list ") for event in found), "the event keeps why"


@pytest.mark.parametrize(("row", "said", "beside", "events", "why"), CASES, ids=[case[-1] for case in CASES])
def test_the_command_says_so_too(tmp_path, hood, programme_manager, row, said, beside, events, why):
    file = tmp_path / "hoods.csv"
    file.write_bytes(comma({"tag": "FH-0142", **row}))
    out = StringIO()
    call_command("import_hoods", str(file), "--dry-run", stdout=out)
    assert ("1 of those changed must be surveyed before use: an approval of theirs ends." in out.getvalue()) is bool(
        said
    ), why
    assert (f"({beside})" in out.getvalue()) if beside else "approval" not in out.getvalue()
    assert not hood.events.exclude(kind="installed").exists(), "a dry run"


def test_the_same_list_again_ends_nothing_more(manager, hood):
    data = comma({"tag": "FH-0142", "kind": "filtered"})
    before, address = shown(manager, data)
    manager.post(address, {"seen": before.context["plan"].digest})
    again, _address = shown(manager, data)
    assert "This list changes nothing" in again.content.decode()
    assert hood.events.filter(kind="kind-changed").count() == 1
