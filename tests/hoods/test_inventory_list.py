"""A list of hoods brought in: what it adds, changes and leaves; what is wrong, by row and column; all of it or nothing."""

from __future__ import annotations

import csv
import io
import random
from io import BytesIO, StringIO

import pytest
from django.core.cache import cache
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.urls import reverse
from openpyxl import Workbook, load_workbook

from hoods import actions, inventory, inventory_file
from hoods.actions.opening import FIELDS as OPENING_FIELDS
from hoods.actions.registering import FIELDS as HOOD_FIELDS
from hoods.forms import inventory_columns
from hoods.forms import inventory_list as forms
from hoods.models import Building, Entry, ExhaustSystem, Hood, Placement, Room
from surveys.models import Survey
from tests import making, pages

pytestmark = pytest.mark.django_db

NEW = {
    "tag": "FH-0007", "building": "South Range", "room": "031", "room name": "Digestion", "floor": "0",
    "department": "Chemistry", "installed on": "2021-03-04", "exhaust": "EF-9", "position": "left of the door",
    "order in the room": "2", "kind": "general", "control": "constant-volume", "sash": "vertical", "powered": "no",
    "glass": "laminated", "maker": "Alder, sons; co", "model": "1E5", "serial": "00123", "interior width": "1500 mm",
    "work surface height": "36 in", "monitor": "velocity", "set point": "0.5 m/s", "alarm point": "80 fpm",
    "uses forbidden": 'No "digestion",\nnever.', "opening 1 name": "working", "opening 1 use": "working",
    "opening 1 width": "62 in", "opening 1 height": "457 mm", "opening 1 way": "", "opening 1 every survey": "yes",
    "opening 2 name": "lower", "opening 2 use": "lower", "opening 2 width": "62 in", "opening 2 height": "12 in",
    "opening 2 way": "", "opening 2 every survey": "no",
}  # fmt: skip


def comma(*rows: dict[str, str], end: str = "\r\n", separator: str = ",") -> bytes:
    """A CSV file with the columns of the first row."""
    file = io.StringIO(newline="")
    writer = csv.DictWriter(file, list(rows[0]), lineterminator=end, delimiter=separator, restval="")
    writer.writeheader()
    writer.writerows(rows)
    return file.getvalue().encode()


def book(*rows: dict[str, object]) -> bytes:
    made = Workbook()
    sheet = made.active
    sheet.append(list(rows[0]))
    for row in rows:
        sheet.append(list(row.values()))
    file = BytesIO()
    made.save(file)
    return file.getvalue()


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


def send(client, data: bytes, name: str = "hoods.csv"):
    return client.post(reverse("hoods:import_list"), {"file": SimpleUploadedFile(name, data)})


def shown(client, data: bytes, name: str = "hoods.csv"):
    """The page that shows what the file would do, and its address."""
    response = send(client, data, name)
    assert response.status_code == 302, problems(response)
    return client.get(response.url), response.url


def keep(client, data: bytes, name: str = "hoods.csv"):
    page, address = shown(client, data, name)
    return client.post(address, {"seen": page.context["plan"].digest})


def problems(response) -> list[tuple[int, str, str]]:
    assert response.status_code == 422
    return [(one.row, one.column, str(one.said)) for one in response.context["problems"]]


def rows() -> dict[str, list[tuple]]:
    return pages.everything()


# --- adding, changing, leaving ------------------------------------------------------------------------------------------


def test_a_row_adds_a_hood_with_its_place_and_openings(manager, site):
    page, address = shown(manager, comma(NEW))
    said = page.content.decode()
    assert "The list would add 1 hood, change 0 and leave 0 as they are." in said
    assert "Building South Range" in said
    assert "Room South Range 031" in said
    assert "Department: Chemistry" in said
    assert "Exhaust system EF-9" in said
    assert not Hood.objects.exists(), "shown, and not kept yet"
    assert manager.post(address, {"seen": page.context["plan"].digest}).url == reverse("hoods:inventory")
    hood = Hood.objects.get(tag="FH-0007")
    placement = hood.placement()
    assert (str(placement.room), placement.exhaust.name, placement.position, placement.order) == (
        "South Range 031", "EF-9", "left of the door", 2,
    )  # fmt: skip
    assert (hood.model, hood.serial, hood.set_point, hood.alarm_point) == ("1E5", "00123", "0.5 m/s", "80 ft/min")
    assert (hood.interior_width, hood.uses_forbidden) == ("1500 mm", 'No "digestion",\nnever.')
    assert [(one.name, one.use, one.height, one.tested_every_survey) for one in hood.openings.all()] == [
        ("working", "working", "457 mm", True), ("lower", "lower", "12 in", False),
    ]  # fmt: skip
    assert placement.room.department == "Chemistry"


def test_i12_what_a_list_brings_is_entered_now_by_who_kept_it_and_nothing_is_signed(manager, programme_manager, site):
    keep(manager, comma(NEW))
    hood = Hood.objects.get()
    assert [str(event.on) for event in hood.events.all()] == ["2021-03-04"]
    entries = list(Entry.objects.of(hood))
    assert [entry.action for entry in entries] == ["opening-added", "opening-added", "hood-registered"]
    for each in (*entries, *hood.events.all(), hood.placement()):
        assert site.day_of(each.at) == site.today(), "no moment is made up"
        assert each.by == programme_manager
        assert "hoods.csv" in each.why
    assert not Survey.objects.exists()


def test_a_list_registers_as_the_page_does(manager, site, room, programme_manager):
    """The same rows and entries as by `register_hood` alone."""
    keep(manager, comma(NEW))
    other = actions.register_hood(
        site=site, tag="FH-0008", room=Room.objects.get(number="031"), on=making.ON, by=programme_manager, at=making.AT,
        openings=[{"name": "working", "use": "working", "width": "62 in", "height": "18 in"}],
    )  # fmt: skip
    ours, theirs = (Entry.objects.of(hood).last() for hood in (Hood.objects.get(tag="FH-0007"), other))
    assert (ours.action, ours.after.keys()) == (theirs.action, theirs.after.keys())
    assert ours.after["site"] == theirs.after["site"]


def test_i2_the_same_file_again_changes_nothing_and_says_so(manager, site):
    keep(manager, comma(NEW))
    before = rows()
    page, address = shown(manager, comma(NEW))
    assert "This list changes nothing: its one hood is kept as it says." in page.content.decode()
    assert "Keep all of it" not in page.content.decode()
    manager.post(address, {"seen": page.context["plan"].digest})
    assert pages.changed(before, rows()) == []


def test_only_the_columns_of_the_list_are_looked_at(manager, hood):
    keep(manager, comma({"tag": "FH-0142", "maker": "Alder"}))
    hood.refresh_from_db()
    assert (hood.maker, hood.monitor, hood.openings.get().height) == ("Alder", "velocity", "18 in")
    entry = Entry.objects.of(hood).first()
    assert (entry.action, entry.before, entry.after) == ("hood-changed", {"maker": ""}, {"maker": "Alder"})


def test_a_changed_size_is_an_event_that_ends_its_approval_and_is_said_before(manager, hood):
    opening = {"opening 1 name": "working", "opening 1 height": "20 in"}
    page, address = shown(manager, comma({"tag": "FH-0142", **opening}))
    assert "An opening of one hood changes its size." in page.content.decode()
    manager.post(address, {"seen": page.context["plan"].digest})
    assert [event.kind for event in hood.events.order_by("pk")] == ["installed", "opening-changed"]
    assert hood.openings.get().height == "20 in"
    assert Entry.objects.of(hood).first().after == {"height": "20 in", "opening": "working"}


def test_an_opening_is_added_and_none_is_taken_away(manager, hood):
    lower = {
        "opening 1 name": "lower", "opening 1 use": "lower", "opening 1 width": "62 in", "opening 1 height": "12 in",
    }  # fmt: skip
    keep(manager, comma({"tag": "FH-0142", **lower}))
    assert [(one.name, one.height) for one in hood.openings.all()] == [("working", "18 in"), ("lower", "12 in")]


def test_a_place_said_anew_keeps_the_earlier_placement(manager, hood):
    first = hood.placement()
    keep(manager, comma({"tag": "FH-0142", "position": "by the window", "exhaust": "EF-9"}))
    assert [(one.position, one.exhaust and one.exhaust.name) for one in hood.placements.order_by("pk")] == [
        ("", None), ("by the window", "EF-9"),
    ]  # fmt: skip
    assert Placement.objects.get(pk=first.pk).position == ""
    assert [event.kind for event in hood.events.all()] == ["installed"], "it has not moved"


# --- refusals, each at its row and column -------------------------------------------------------------------------------

WRONG = [
    # what a row says otherwise, column, what is said
    ({"opening 1 height": "18"}, "opening 1 height", "has no unit"),
    ({"opening 1 height": "0,5 m"}, "opening 1 height", "at most one point"),
    ({"opening 1 height": "18 fpm"}, "opening 1 height", "unit of another kind"),
    ({"opening 1 height": "18 furlong"}, "opening 1 height", "not used here"),
    ({"opening 1 use": "open"}, "opening 1 use", "not one of these: working, lower"),
    ({"opening 1 way": "left"}, "opening 1 way", "opens in one way: leave this cell empty"),
    ({"sash": "horizontal", "opening 1 way": "up"}, "opening 1 way", "not one of these: "),
    (
        {"sash": "combination", "opening 2 way": "frame"},
        "opening 1 way",
        "must never be open together: write one of frame",
    ),
    ({"opening 2 name": "Working"}, "opening 2 name", "Opening 1 has this name already"),
    ({"opening 2 height": "20 in"}, "opening 2 height", "would be higher (20 in)"),
    ({"opening 1 name": ""}, "opening 1 name", "Nothing is written here"),
    ({"opening 1 every survey": "maybe"}, "opening 1 every survey", "neither yes nor no"),
    ({"installed on": "03/04/2026"}, "installed on", "such as 2027-03-12"),
    ({"installed on": "2026-02-31"}, "installed on", "This is no day"),
    ({"installed on": "2027-02-29"}, "installed on", "This is no day"),
    ({"installed on": "0026-03-04"}, "installed on", "The year 26 cannot be meant"),
    ({"installed on": "2149-01-01"}, "installed on", "still to come"),
    ({"installed on": ""}, "installed on", "No day is written here"),
    ({"kind": ""}, "kind", "write one of general"),
    ({"kind": "canopi"}, "kind", "not one of these: general"),
    ({"kind": "biological cabinet"}, "kind", "A biological cabinet is not kept here"),
    ({"kind": "clean-bench"}, "kind", "clean bench"),
    ({"set point": "800 cfm"}, "set point", "unit of another kind"),
    ({"monitor": "none", "alarm point": ""}, "set point", "without a monitor"),
    ({"powered": "2"}, "powered", "neither yes nor no"),
    ({"tag": ""}, "tag", "Nothing is written here"),
    ({"tag": "x" * 41}, "tag", "at most 40"),
    ({"tag": "FH-\u200b1"}, "tag", "cannot be seen"),
    ({"room": ""}, "room", "Nothing is written here"),
    ({"building": "north range"}, "building", "looks like “North Range”"),
    ({"order in the room": "first"}, "order in the room", "no whole number"),
    ({"tag": "fh-0142"}, "tag", "looks like FH-0142"),
    ({"tag": "FH-0001"}, "tag", "former tag of FH-0142"),
    ({"tag": "FH-0142", "room": "118", "building": "North Range"}, "room", "a list moves no hood"),
    ({"building": "North Range", "room": "214", "room name": "Digestion"}, "room name", "The site has “Synthesis”"),
]


@pytest.mark.parametrize(("otherwise", "column", "said"), WRONG, ids=[f"{one[1]} {one[2]}" for one in WRONG])
def test_i5_i6_a_problem_names_row_column_and_what_would_be_right(
    manager, hood, programme_manager, otherwise, column, said
):
    actions.change_hood(hood=hood, tag="FH-0001", by=programme_manager, at=making.AT)
    actions.change_hood(hood=hood, tag="FH-0142", by=programme_manager, at=making.AT)
    before = rows()
    good = NEW | {"tag": "FH-0006"}
    found = problems(send(manager, comma(good, NEW | otherwise)))
    assert [each[:2] for each in found if said in each[2]] == [(3, column)], found
    assert pages.changed(before, rows()) == []


def test_the_rows_around_a_problem_are_right(manager, hood):
    """The control of the refusals: the same file without what is wrong is taken."""
    keep(manager, comma(NEW | {"tag": "FH-0006"}, NEW))
    assert Hood.objects.count() == 3


def test_i1_one_bad_row_among_many_keeps_nothing(manager, site):
    many = [NEW | {"tag": f"FH-{number:04}"} for number in range(1, 101)]
    many[55] = many[55] | {"opening 1 width": "62 inchs"}  # row 57 of the file
    before = rows()
    found = problems(send(manager, comma(*many)))
    assert [each[:2] for each in found] == [(57, "opening 1 width")]
    assert "“62 inchs” has a unit that is not used here: write one of in, ft, mm, cm, m" in found[0][2]
    assert pages.changed(before, rows()) == []
    many[55] = many[54] | {"tag": "FH-0056"}
    keep(manager, comma(*many))
    assert Hood.objects.count() == 100


def test_i1_a_fault_of_the_database_in_the_middle_keeps_nothing(manager, programme_manager, site):
    """The second part of a list cannot be written: the first is not kept either."""
    from django.db import DatabaseError, connection

    data = comma(*[NEW | {"tag": f"FH-{number:04}"} for number in range(1, 20)])
    page, address = shown(manager, data)
    before = rows()

    def fails(execute, sql, params, many, context):
        if 'INSERT INTO "hoods_entry"' in sql and "hood-registered" in str(params):
            raise DatabaseError("disk full")
        return execute(sql, params, many, context)

    with connection.execute_wrapper(fails), pytest.raises(DatabaseError):
        manager.post(address, {"seen": page.context["plan"].digest})
    assert pages.changed(before, rows()) == []
    assert manager.post(address, {"seen": page.context["plan"].digest}).status_code == 302, "and then it is kept"
    assert Hood.objects.count() == 19


def test_columns_that_a_new_hood_needs_are_named_once(manager, site):
    found = problems(send(manager, comma({"tag": "FH-1", "maker": "A"}, {"tag": "FH-2", "maker": "B"})))
    assert (2, "kind") in [each[:2] for each in found]
    assert {each[0] for each in found} == {2}


def test_an_unknown_heading_is_refused_with_what_may_be_meant(manager, site):
    found = problems(send(manager, comma({"tag": "FH-1", "flor": "2"})))
    assert found == [
        (1, "flor", "This is no column of the list. If “floor” is meant, write that; otherwise take it out.")
    ]
    assert problems(send(manager, b"tag,maker,maker\nFH-1,a,b\n"))[0][:2] == (1, "maker")


def test_points_of_a_monitor_that_a_list_leaves_as_they_are_may_stay(manager, make_hood):
    """Kept before the rule was: a list that says the same changes nothing, and one that says otherwise is refused."""
    make_hood(tag="FH-1", monitor="flow", set_point="100 ft/min", alarm_point="")
    said = {"tag": "FH-1", "monitor": "flow", "set point": "100 ft/min", "alarm point": "", "maker": "Alder"}
    keep(manager, comma(said))
    assert Hood.objects.get().maker == "Alder"
    assert problems(send(manager, comma(said | {"set point": "90 ft/min"})))[0][:2] == (2, "set point")


def test_a_combination_sash_is_brought_in_with_its_ways(manager, site):
    frame = {"sash": "combination", "opening 1 way": "frame", "opening 2 way": "frame"}
    keep(manager, comma(NEW | frame))
    assert [one.way for one in Hood.objects.get().openings.all()] == ["frame", "frame"]
    page, _address = shown(manager, pages.body(manager.get(reverse("reports:inventory"))))
    assert page.context["plan"].left == 1


def test_a_retired_hood_stays_as_it_is(manager, hood, programme_manager):
    actions.retire_hood(hood=hood, on=making.ON, why="gone", by=programme_manager, at=making.AT)
    assert problems(send(manager, comma({"tag": "FH-0142", "maker": "Alder"})))[0][:2] == (2, "tag")


def test_what_changed_meanwhile_is_shown_anew_and_nothing_is_kept(manager, hood, programme_manager):
    page, address = shown(manager, comma({"tag": "FH-0142", "maker": "Alder"}))
    actions.change_hood(hood=hood, maker="Birch", by=programme_manager, at=making.AT)
    before = rows()
    response = manager.post(address, {"seen": page.context["plan"].digest})
    assert response.status_code == 409
    assert "nothing is kept: look at it again" in response.content.decode()
    assert "Birch" in response.content.decode()
    assert pages.changed(before, rows()) == []
    assert manager.post(address, {"seen": response.context["plan"].digest}).status_code == 302
    hood.refresh_from_db()
    assert hood.maker == "Alder"


def test_a_file_waits_for_who_sent_it_alone_and_only_until_it_is_kept(manager, site, hood, signed_in):
    page, address = shown(manager, comma({"tag": "FH-0142", "maker": "Alder"}))
    other = signed_in(making.make_person("Dag Storm", site, "programme-manager"))
    assert other.get(address).status_code == 404
    assert other.post(address, {"seen": page.context["plan"].digest}).status_code == 404
    assert manager.post(address, {"seen": page.context["plan"].digest}).status_code == 302, "the control"
    assert manager.get(address).status_code == 404
    page, address = shown(manager, comma({"tag": "FH-0142", "maker": "Birch"}))
    cache.clear()
    assert manager.get(address).status_code == 404, "it waits an hour, not for ever"


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
