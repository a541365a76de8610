"""What a list of hoods would end of what stands approved: told before it is kept, and whose labels must come off after."""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from hoods import inventory, inventory_ends
from hoods.views import keeping_list
from tests.hoods.listed import comma, shown
from tests.surveys.words import said

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

ALL = "One hood loses every approval: it is not to be used before it is surveyed."
SOME = "One hood loses the approval of an opening: it is not to be used there before it is surveyed."
OFF = "Once the list is kept, have this label taken off: FH-0142."
WORKING = {"opening 1 name": "working"}
LOWER = {"opening 1 name": "lower"}
CASES = [
    # status, the row, what is said before, beside the column, why
    ("met-criteria", {"kind": "filtered"}, (ALL, OFF), "ends every approval; take its label off", "another kind"),
    ("met-criteria", WORKING | {"opening 1 height": "20 in"}, (SOME, OFF), "ends its approval; take its label off", "its highest"),
    ("met-criteria", LOWER | {"opening 1 height": "10 in"}, (SOME,), "ends its approval", "one below its highest: its label holds"),
    ("met-criteria", WORKING | {"opening 1 height": "457.2 mm"}, (), "", "the same size"),
    ("restricted", LOWER | {"opening 1 height": "10 in"}, (ALL, OFF), "ends its approval; take its label off", "its only one"),
    ("restricted", WORKING | {"opening 1 height": "20 in"}, (), "", "an opening that was never approved"),
    ("do-not-use", {"kind": "filtered"}, (ALL, OFF), "ends every approval; take its label off", "barred: its label still hangs"),
    ("overdue", {"kind": "filtered"}, (ALL, OFF), "ends every approval; take its label off", "overdue: its label still hangs"),
    ("unlabelled", {"kind": "filtered"}, (ALL,), "ends every approval", "one that has no label"),
    ("not-surveyed", {"kind": "filtered"}, (), "", "one that was never surveyed"),
    ("failed", {"kind": "filtered"}, (), "", "one that failed"),
    ("hibernated", {"kind": "filtered"}, (), "", "one that rests"),
]  # fmt: skip


@pytest.mark.parametrize(("status", "row", "before", "beside", "why"), CASES, ids=[case[-1] for case in CASES])
def test_what_truly_ends_is_said_before_it_is_kept_and_whose_label_comes_off_after(
    hood_of, manager, status, row, before, beside, why
):
    hood_of(status, tag="FH-0142")
    page, address = shown(manager, comma({"tag": "FH-0142", **row}))
    words = said(page)
    assert tuple(one for one in (ALL, SOME, OFF) if one in words) == before, why
    assert (beside in words) if beside else "ends" not in words.partition("Would be")[2], why
    assert ("take its label off" in words) is (OFF in before)
    after = said(manager.post(address, {"seen": page.context["plan"].digest}, follow=True))
    assert ("Take the label off FH-0142: what it approves has ended." in after) is (OFF in before), why


@pytest.mark.parametrize(("status", "row", "before", "beside", "why"), CASES, ids=[case[-1] for case in CASES])
def test_the_command_says_so_too(hood_of, tmp_path, status, row, before, beside, why):
    hood_of(status, tag="FH-0142")
    file = tmp_path / "hoods.csv"
    file.write_bytes(comma({"tag": "FH-0142", **row}))
    tried, kept = StringIO(), StringIO()
    call_command("import_hoods", str(file), "--dry-run", stdout=tried)
    ends = "1 of those changed must be surveyed before use: an approval of theirs ends."
    assert (ends in tried.getvalue()) is bool(before), why
    assert (f"({beside})" in tried.getvalue()) if beside else "(ends" not in tried.getvalue(), why
    call_command("import_hoods", str(file), stdout=kept)
    assert ("Take the label off: FH-0142." in kept.getvalue()) is (OFF in before), why


def test_a_long_list_ends_with_the_labels_that_must_come_off(hood_of, manager, monkeypatch):
    monkeypatch.setattr(keeping_list, "SHORT", 0)
    hood_of("met-criteria", tag="FH-0142")
    page, address = shown(manager, comma({"tag": "FH-0142", "kind": "filtered"}))
    kept = manager.post(address, {"seen": page.context["plan"].digest})
    assert "Take the label off FH-0142: what it approves has ended." in b"".join(kept.streaming_content).decode()


def test_the_first_hundred_are_named_and_the_rest_counted():
    tags = [f"FH-{number:04}" for number in range(103)]
    assert inventory_ends.named(tags).endswith("FH-0099 (+ 3)")
    assert inventory_ends.named(tags[:2]) == "FH-0000, FH-0001"


def test_what_many_hoods_would_lose_takes_as_many_queries_as_one(hood_of, manager, site, django_assert_max_num_queries):
    tags = ["FH-0142", "FH-0143", "FH-0144"]
    for tag in tags:
        hood_of("met-criteria", tag=tag)
    page, _address = shown(manager, comma(*[{"tag": tag, "kind": "filtered"} for tag in tags]))
    with django_assert_max_num_queries(8):
        found = inventory_ends.ends(page.context["plan"], timezone.now())
    assert (found.wholly, found.labels, found.hoods) == (tuple(tags), tuple(tags), 3)
    assert "3 hoods lose every approval" in said(page)
    assert inventory_ends.ends(inventory.Plan(site), timezone.now()).hoods == 0


def test_the_page_of_the_list_says_that_an_empty_cell_clears(manager):
    assert "An empty cell clears what is kept of a hood" in said(manager.get(reverse("hoods:import_list")))
