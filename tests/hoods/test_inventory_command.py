"""A list there and back, pasted, and by the command."""

from __future__ import annotations

import random
from io import BytesIO, StringIO

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse
from openpyxl import load_workbook

from hoods import inventory, inventory_file
from hoods.actions.opening import FIELDS as OPENING_FIELDS
from hoods.actions.registering import FIELDS as HOOD_FIELDS
from hoods.forms import inventory_columns
from hoods.forms import inventory_list as forms
from hoods.models import Building, Entry, ExhaustSystem, Hood
from tests import making, pages
from tests.hoods.listed import NEW, book, comma, keep, problems, send, shown

pytestmark = pytest.mark.django_db


# --- files --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_i4_i11_the_export_imports_unchanged_and_into_an_empty_site(
    manager, site, room, programme_manager, signed_in, ending
):
    tags = ("0042", "1E5", "MAR1", "=A1", "-5", "'quoted", "Å;b,c")
    data = comma(*[NEW | {"tag": tag, "maker": f"={tag}", "uses forbidden": "one\r\ntwo"} for tag in tags])
    keep(manager, data)
    assert {hood.tag for hood in Hood.objects.all()} == set(tags)
    view = "reports:inventory" if ending == "csv" else "reports:inventory_book"
    exported = pages.body(manager.get(reverse(view)))
    page, _address = shown(manager, exported, f"hoods.{ending}")
    assert page.context["said"] == "This list changes nothing: all 7 hoods are kept as it says."
    elsewhere = making.make_site("Fell College")
    client = signed_in(making.make_person("Signe Dahl", elsewhere, "programme-manager"))
    keep(client, exported, f"hoods.{ending}")
    again = pages.body(client.get(reverse("reports:inventory")))
    ours = pages.body(manager.get(reverse("reports:inventory")))
    if ending == "xlsx":  # a workbook ends lines within a cell in one way
        ours = ours.replace(b"one\r\ntwo", b"one\ntwo")
    assert again == ours


def test_every_field_of_a_hood_and_of_an_opening_has_a_column():
    have = {(column.part, column.name) for column in inventory_columns.columns(1)}
    assert {name for part, name in have if part == inventory_columns.HOOD} == set(HOOD_FIELDS)
    assert {name for part, name in have if part == inventory_columns.OPENING} == set(OPENING_FIELDS) - {"order"}


@pytest.mark.parametrize("view", ["inventory_template", "inventory_template_book"])
def test_the_empty_list_is_the_heading_that_is_taken(manager, site, view):
    data = pages.body(manager.get(reverse(f"reports:{view}")))
    assert problems(send(manager, data)) == [(0, "", "Below the heading there is no row: write one for each hood.")]
    if view.endswith("book"):
        made = load_workbook(BytesIO(data))
        made["hoods"].append([NEW.get(cell.value, "") for cell in made["hoods"][1]])
        file = BytesIO()
        made.save(file)
        keep(manager, file.getvalue(), "hoods.xlsx")
        assert Hood.objects.get().tag == "FH-0007"


def test_e7_a_slip_of_a_key_is_refused_or_kept_as_typed_never_another_number():
    """10,000 slips in measures: what is kept has the digits that were typed."""
    chance = random.Random(7)
    keys = "0123456789.,- iinmftp/"
    refused = 0
    for _ in range(10_000):
        typed = list(chance.choice(("18 in", "457 mm", "18.25 in", "0.5 m")))
        place = chance.randrange(len(typed))
        slip = chance.choice(("other", "twice", "gone", "swapped", "more"))
        if slip == "other":
            typed[place] = chance.choice(keys)
        elif slip == "twice":
            typed.insert(place, typed[place])
        elif slip == "gone":
            del typed[place]
        elif slip == "swapped" and place:
            typed[place - 1], typed[place] = typed[place], typed[place - 1]
        else:
            typed.insert(place, chance.choice(keys))
        text = "".join(typed)
        table = inventory_file.read(comma({"tag": "FH-1", "interior width": text}))
        checked = forms.check(table)
        if checked.problems:
            refused += 1
            continue
        kept = checked.said[0].hood["interior_width"]
        assert kept.split(" ")[0] == text.strip().rstrip("infmtchoe ").strip(), (text, kept)
    assert 2_000 < refused < 10_000, "some slips are refused, and some lists are taken"


def test_e23_rows_pasted_from_a_spreadsheet_are_all_kept_or_none(manager, site):
    """Tabs, line ends of Windows, blank lines at the end."""
    many = [NEW | {"tag": f"FH-{number:04}", "uses forbidden": ""} for number in range(25)]
    data = comma(*many, separator="\t") + b"\r\n\r\n\t\t\r\n"
    page, _address = shown(manager, data, "pasted.txt")
    assert page.context["said"] == "The list would add 25 hoods, change 0 and leave 0 as they are."
    many[24] = many[24] | {"interior width": "1,5 m"}
    assert [each[:2] for each in problems(send(manager, comma(*many, separator="\t")))] == [(26, "interior width")]
    assert not Hood.objects.exists()


def test_cells_that_a_spreadsheet_changed_are_refused(manager, site):
    import datetime

    odd = {"tag": 1.5e20, "maker": datetime.date(2026, 3, 1), "model": "=A1", "serial": 12.5, "interior width": 18}
    found = {column: said for _row, column, said in problems(send(manager, book(odd), "hoods.xlsx"))}
    assert "made a number of this" in found["tag"]
    assert "made a day of this (2026-03-01)" in found["maker"]
    assert found["model"] == "This cell holds a formula: copy it and paste its value."
    assert "may have lost digits" in found["serial"]
    assert "has no unit" in found["interior width"]
    right = {"tag": "1E5", "maker": "MAR1", "model": "A1", "serial": "0012", "interior width": "18 in"}
    assert not any("spreadsheet" in each[2] for each in problems(send(manager, book(right), "hoods.xlsx")))


# --- the command --------------------------------------------------------------------------------------------------------


def command(*arguments: str) -> str:
    out = StringIO()
    call_command("import_hoods", *arguments, stdout=out)
    return out.getvalue()


def test_the_command_says_what_it_would_do_then_does_it_and_tells_how_far_it_is(tmp_path, site, programme_manager):
    file = tmp_path / "hoods.csv"
    file.write_bytes(comma(*[NEW | {"tag": f"FH-{number:04}"} for number in range(600)]))
    said = command(str(file), "--dry-run")
    assert "600 to add, 0 to change, 0 to leave" in said
    assert "new room South Range 031" in said
    assert not Hood.objects.exists()
    said = command(str(file))
    assert "500 of 600 hoods" in said
    assert "600 of 600 hoods" in said
    assert Hood.objects.count() == 600
    assert Entry.objects.filter(action="hood-registered", by=programme_manager).count() == 600
    assert "The list changes nothing." in command(str(file))


def test_the_command_refuses_in_sentences(tmp_path, site):
    file = tmp_path / "hoods.csv"
    file.write_bytes(comma(NEW | {"kind": "canopi"}))
    with pytest.raises(CommandError, match="row 2, kind: “canopi” is not one of these"):
        command(str(file))
    file.write_bytes(comma(NEW))
    with pytest.raises(CommandError, match="--by EMAIL"):
        command(str(file))
    with pytest.raises(CommandError, match="cannot be read"):
        command(str(tmp_path / "absent.csv"))
    making.make_site("Fell College")
    with pytest.raises(CommandError, match="several sites"):
        command(str(file))
    manager = making.make_person("Henrik Sole", site, "programme-manager")
    command(str(file), "--site", "Skua Institute", "--by", manager.email)
    assert Hood.objects.get().site == site


# --- speed in queries ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("many", [1, 3])
def test_a_plan_asks_as_often_for_one_hood_as_for_three(many, site, make_hood, django_assert_num_queries):
    said = forms.check(
        inventory_file.read(comma(*[{"tag": make_hood().tag, "maker": "Alder"} for _ in range(many)]))
    ).said
    with django_assert_num_queries(8):
        plan = inventory.plan(site, said, site.today())
    assert len(plan.changed) == many
    assert not Building.objects.exclude(site=site).exists()
    assert not ExhaustSystem.objects.exists()


def test_the_command_that_is_stopped_says_that_nothing_is_kept(tmp_path, site, programme_manager):
    class Stopped(StringIO):
        """Somebody presses Ctrl-C when the first part is written."""

        def write(self, text: str) -> int:
            if "500 of 600" in text:
                raise KeyboardInterrupt
            return super().write(text)

    file = tmp_path / "hoods.csv"
    file.write_bytes(comma(*[NEW | {"tag": f"FH-{number:04}"} for number in range(600)]))
    with pytest.raises(CommandError, match="Stopped before the list was kept: nothing of it is kept."):
        call_command("import_hoods", str(file), stdout=Stopped())
    assert not Hood.objects.exists()
