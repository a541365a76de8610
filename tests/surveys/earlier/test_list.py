"""Earlier results brought in from a list: shown first, kept whole or not at all; what is wrong, by row and column."""

from __future__ import annotations

import io
from datetime import date, timedelta

import pytest
from django.core.cache import cache
from openpyxl import load_workbook

from hoods.models import Entry, Hood
from surveys.models import EarlierBatch, EarlierOpening, EarlierResult, Record, Survey
from tests import making, surveying
from tests.pages import body, changed, everything
from tests.surveys import rows
from tests.surveys.earlier.listed import HEADINGS, ROW, csv, keep, of, problems, send
from tests.surveys.words import said

# --- what is kept ------------------------------------------------------------------------------------------------------


def test_i12_a_result_is_kept_as_the_record_says_it_marked_and_unsigned(manager, hood):
    """No signature, no record of this ledger, no time of day: what was written, and that it was not signed here."""
    shown = send(manager, csv(of(points="98 101 95 / 103 99 93 ft/min", lowest="")))
    assert "The list would add 1 result of 1 hood." in said(shown)
    assert not EarlierResult.objects.exists(), "nothing is kept before it was seen"
    kept = keep(manager, csv(of(points="98 101 95 / 103 99 93 ft/min", lowest="")))
    assert "1 result from earlier records, not signed here: counts for nothing." in said(kept)
    result = EarlierResult.objects.get()
    assert (result.hood, result.measured_on, result.verdict, result.row) == (hood, date(2025, 5, 9), "pass", 2)
    assert (result.measured_by, result.judged_by, result.reference) == (
        "Lena Orth",
        "rules of 2021",
        "folder 12, sheet 4",
    )
    opening = result.openings.get()
    assert (opening.height, opening.average, opening.lowest) == ("18 in", "98 ft/min", "")
    assert (opening.points, opening.approves) == ("98 101 95 / 103 99 93 ft/min", True)
    assert not Survey.objects.exists()
    assert not Record.objects.exists()
    assert {field.attname for field in EarlierResult._meta.fields} & {"at", "signed_at", "measured_until"} == set()
    entry = Entry.objects.get(action="earlier-results-brought-in")
    assert (entry.after["name"], entry.after["results"]) == ("old results.csv", 1)


def test_i2_the_same_file_again_changes_nothing(manager, hood):
    data = csv(
        ROW,
        of(**{"measured on": "2025-05-08"}, average="0.50 m/s", points="98 101 95 ft/min", lowest="", height="457 mm"),
    )
    keep(manager, data)
    before = everything()
    again = send(manager, data)
    assert "This list changes nothing: all 2 results are kept as it says." in said(again)
    assert "Keep all of it" not in said(again)
    refused = manager.post(again.request["PATH_INFO"], {"seen": again.context["plan"].digest})
    assert refused.status_code == 409
    assert changed(before, everything()) == []
    assert EarlierResult.objects.count() == 2


def test_a_list_that_is_pressed_twice_is_kept_once_and_both_say_so(manager, hood):
    shown = send(manager, csv(ROW))
    assert 'data-once="Being kept: 1 result"' in shown.content.decode(), "the second press of one page does nothing"
    seen, address = {"seen": shown.context["plan"].digest}, shown.request["PATH_INFO"]
    other = send(manager, csv(ROW)).request["PATH_INFO"]
    assert "counts for nothing" in said(manager.post(address, seen, follow=True))
    assert "The list is kept already." in said(manager.post(address, seen, follow=True))
    meanwhile = manager.post(other, seen, follow=True)
    assert "This list changes nothing: its one result is kept as it says." in said(meanwhile)
    assert (EarlierBatch.objects.count(), EarlierResult.objects.count()) == (1, 1)


def test_i1_one_bad_row_keeps_nothing_and_names_row_and_column(manager, make_hood):
    tags = [make_hood().tag for _ in range(60)]
    listed = [of(tag=tag) for tag in tags]
    listed[55] = listed[55] | {"opening 1 average": "98,5 fpm"}
    before = everything()
    refused = send(manager, csv(*listed))
    assert refused.status_code == 422
    assert [(row, column) for row, column, _said in problems(refused)] == [(57, "opening 1 average")]
    assert "“98,5 fpm” is no number with a unit" in problems(refused)[0][2]
    assert changed(before, everything()) == []
    listed[55] = listed[55] | {"opening 1 average": "98.5 fpm"}
    keep(manager, csv(*listed))
    assert EarlierResult.objects.count() == 60, "the control"


@pytest.mark.usefixtures("hood")
def test_points_give_the_average_that_a_record_lacks(manager, hood):
    keep(manager, csv(of(average="", lowest="", points="98\r\n101\t95 ft/min")))
    shown = said(manager.get(f"/hoods/{hood.pk}/"))
    assert "98 ft/min of its points 95 ft/min of its points" in shown  # (98 + 101 + 95) / 3 = 98


def test_a_row_needs_no_points_no_average_and_no_opening(manager, hood):
    keep(manager, b"tag;measured on;result\r\nFH-0142;2025-05-09;no verdict\r\n")
    assert EarlierResult.objects.get().verdict == "no-verdict"
    assert "not signed here no verdict" in said(manager.get(f"/hoods/{hood.pk}/"))


def test_words_of_a_result_and_units_are_taken_as_on_the_pages(manager, hood):
    keep(manager, csv(of(result="Pass", average="0.5 m/s", lowest="0.46 m/s", height="457 mm")))
    opening = EarlierOpening.objects.get()
    assert (opening.result.verdict, opening.average, opening.height) == ("pass", "0.5 m/s", "457 mm")


def test_a_height_above_the_opening_or_none_is_kept_and_approves_nothing(manager, hood):
    listed = csv(
        of(height="20 in"), of(height="", **{"measured on": "2025-05-08"}), of(**{"measured on": "2025-05-07"})
    )
    assert "2 results say pass or restrict and no height, or one above the height" in said(send(manager, listed))
    keep(manager, listed)
    assert list(EarlierOpening.objects.order_by("pk").values_list("approves", flat=True)) == [False, False, True]


def test_several_openings_stand_in_one_row(manager, make_hood):
    tag = make_hood(openings=surveying.LOWER).tag
    headings = (*HEADINGS, "opening 2 name", "opening 2 height", "opening 2 average")
    second = {"opening 2 name": "lower", "opening 2 height": "12 in", "opening 2 average": "104 fpm"}
    keep(
        manager,
        csv(of(tag=tag, result="restrict", restriction="not for highly toxic materials") | second, headings=headings),
    )
    assert [(one.opening_name, one.height) for one in EarlierOpening.objects.order_by("pk")] == [
        ("working", "18 in"), ("lower", "12 in"),
    ]  # fmt: skip


# --- what is wrong -----------------------------------------------------------------------------------------------------

WRONG = [
    # what is said otherwise                       column              what would be right
    ({"tag": "FH-9"}, "tag", "The site has no hood with this tag"),
    ({"tag": "fh-0142"}, "tag", "This looks like FH-0142, which the site has: write it the same way."),
    ({"measured on": "31 Feb"}, "measured on", "write year, month and day, such as 2027-03-12"),
    ({"measured on": "2025-02-31"}, "measured on", "This is no day"),
    ({"measured on": "2027-02-29"}, "measured on", "This is no day"),
    ({"measured on": "0026-05-09"}, "measured on", "The year 26 cannot be meant"),
    ({"measured on": "03/04/2025"}, "measured on", "write year, month and day"),
    ({"measured on": ""}, "measured on", "No day is written here"),
    ({"measured on": "2031-05-09"}, "measured on", "This day is still to come"),
    ({"measured on": "2024-12-31"}, "measured on", "FH-0142 was installed on 2025-01-06"),
    ({"result": ""}, "result", "Nothing is written here: write one of pass, restrict, fail, no-verdict."),
    ({"result": "ok"}, "result", "“ok” is not one of these: pass, restrict, fail, no-verdict."),
    ({"result": "restrict"}, "restriction", "A restricted hood has its restriction in words"),
    ({"restriction": "not for perchloric acid"}, "restriction", "Only the result “restrict” has a restriction"),
    ({"opening 1 name": ""}, "opening 1 name", "Nothing is written here"),
    ({"opening 1 name": "left"}, "opening 1 name", "FH-0142 has no opening of this name: write one of working."),
    ({"opening 1 height": "", "opening 1 average": "", "opening 1 lowest": ""}, "opening 1 name", "Nothing is said of this opening"),
    ({"opening 1 height": "18"}, "opening 1 height", "“18” has no unit"),
    ({"opening 1 height": "18 fpm"}, "opening 1 height", "is in a unit of another kind"),
    ({"opening 1 average": "98"}, "opening 1 average", "“98” has no unit"),
    ({"opening 1 average": "98 cfm"}, "opening 1 average", "is in a unit of another kind"),
    ({"opening 1 average": "-98 fpm"}, "opening 1 average", "“-98 ft/min” is negative"),
    ({"opening 1 lowest": "99.0 ft/min", "opening 1 average": "98.0 ft/min"}, "opening 1 lowest", "99.0 ft/min is above the average"),
    ({"opening 1 points": "98 101 95"}, "opening 1 points", "has no unit at its end"),
    ({"opening 1 points": "98 / / 95 fpm"}, "opening 1 points", "are no points"),
    ({"opening 1 points": "98 101,5 fpm"}, "opening 1 points", "has a comma"),
    ({"opening 1 points": "98 -1 fpm"}, "opening 1 points", "is negative"),
    ({"opening 1 points": "98 101 95 cfm"}, "opening 1 points", "is in the wrong kind of unit"),
    ({"opening 1 points": "88 91 85 fpm", "opening 1 lowest": ""}, "opening 1 average", "98 ft/min is not the average of the points, which is 88 ft/min"),
    ({"notes": "a\x07b"}, "notes", "a character that cannot be kept"),
]  # fmt: skip


@pytest.mark.usefixtures("hood")
@pytest.mark.parametrize(
    ("what", "column", "right"), WRONG, ids=[f"{list(one[0].items())[0]} {one[1]}" for one in WRONG]
)
def test_i1_i5_i6_a_problem_names_row_column_and_what_would_be_right(manager, what, column, right):
    before = everything()
    refused = send(manager, csv(of(**{"measured on": "2025-05-08"}), ROW | what))
    assert refused.status_code == 422
    found = problems(refused)
    assert [(row, where) for row, where, _said in found] == [(3, column)]
    assert right in found[0][2]
    assert changed(before, everything()) == []


def test_rows_of_which_nothing_is_wrong_are_the_control_of_those_that_are(manager, hood):
    keep(manager, csv(of(**{"measured on": "2025-05-08"}), ROW))
    assert EarlierResult.objects.count() == 2


def test_a_hood_and_day_stand_once_in_a_list_and_are_rewritten_by_no_other(manager, hood):
    assert problems(send(manager, csv(ROW, of(average="97 fpm")))) == [
        (3, "measured on", "Row 2 has this hood and day already: write what the record says in one row, and take the other out."),
    ]  # fmt: skip
    keep(manager, csv(ROW))
    assert problems(send(manager, csv(of(average="97 fpm")), "other.csv")) == [
        (2, "measured on", "Row 2 of old results.csv said something else of this hood and day, and a list rewrites none: take "
                           "this row out, or strike that list and bring it in anew."),
    ]  # fmt: skip


def test_a_day_on_which_a_survey_is_signed_here_is_no_earlier_record(manager, hood, technician, programme_manager):
    version = surveying.make_version(hood.site, programme_manager)
    survey = rows.survey(hood, version, technician, date(2025, 5, 9))
    refused = problems(send(manager, csv(ROW)))
    assert refused == [
        (2, "measured on", f"A survey of this day is signed here (record {survey.record_id}): take this row out.")
    ]


@pytest.mark.parametrize(("headings", "column", "right"), [
    (("tag", "measured on"), "result", "Every list of earlier results has this column: add it."),
    ((*HEADINGS, "avg"), "avg", "This is no column of the list"),
    ((*HEADINGS, "measured on"), "measured on", "This column is there twice"),
    (("tag", "measured on", "result", "opening 1 average"), "opening 1 name", "An opening is known by its name: add this column."),
    ((*HEADINGS, "opening 99 name"), "opening 99 name", "This is no column of the list"),
])  # fmt: skip
@pytest.mark.usefixtures("hood")
def test_a_heading_that_is_wrong_is_named(manager, headings, column, right):
    refused = send(manager, csv(ROW, headings=headings))
    assert (refused.status_code, [(row, where) for row, where, _ in problems(refused)]) == (422, [(1, column)])
    assert right in problems(refused)[0][2]


# --- the template, and what is between showing and keeping -----------------------------------------------------------------


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_the_empty_list_that_is_filled_in_is_brought_in(manager, hood, ending):
    answer = manager.get(f"/earlier/empty.{ending}")
    if ending == "csv":
        lines = body(answer).decode("utf-8-sig").strip()
        headings = [one.strip('"') for one in lines.split(",")]
        data = f"{lines}\r\n".encode() + ",".join(f'"{ROW.get(name, "")}"' for name in headings).encode()
    else:
        made = load_workbook(io.BytesIO(body(answer)))
        headings = [cell.value for cell in made["results"][1]]
        made["results"].append([ROW.get(name, "") for name in headings])
        file = io.BytesIO()
        made.save(file)
        data = file.getvalue()
    assert set(HEADINGS) < set(headings)
    keep(manager, data, f"filled in.{ending}")
    assert EarlierOpening.objects.get().average == "98 ft/min"


def test_what_was_seen_is_what_is_kept(manager, hood, make_hood):
    """Between being shown and kept a hood changed: 409, shown anew; with the digest of what is, it is kept (the control)."""
    shown = send(manager, csv(ROW))
    where, seen = shown.request["PATH_INFO"], shown.context["plan"].digest
    hood.openings.update(height="12 in")
    refused = manager.post(where, {"seen": seen})
    assert refused.status_code == 409
    assert "changed since this was shown" in said(refused)
    assert not EarlierBatch.objects.exists()
    manager.post(where, {"seen": refused.context["plan"].digest})
    assert not EarlierOpening.objects.get().approves


def test_a_list_waits_for_who_sent_it_alone(manager, hood, signed_in, site):
    where = send(manager, csv(ROW)).request["PATH_INFO"]
    other = signed_in(making.make_person("Mara Quist", site, "programme-manager"))
    assert other.get(where).status_code == 404
    assert manager.get(where).status_code == 200
    cache.clear()
    assert manager.get(where).status_code == 404


def test_another_sites_hood_is_not_found_and_its_lists_are_not_shown(manager, hood, signed_in):
    far = making.make_site("Far Institute")
    elsewhere = making.make_person("Mara Quist", far, "programme-manager")
    assert [row for row, _column, _said in problems(send(signed_in(elsewhere), csv(ROW)))] == [2]
    keep(manager, csv(ROW))
    batch = EarlierBatch.objects.get()
    for path in ("", "accept/", "withdraw/", "strike/"):
        assert signed_in(elsewhere).get(f"/earlier/{batch.pk}/{path}").status_code == 404
        assert manager.get(f"/earlier/{batch.pk}/{path}", follow=True).status_code == 200


def test_many_rows_take_as_many_queries_as_few(manager, make_hood, django_assert_max_num_queries):
    tags = [make_hood().tag for _ in range(120)]
    shown = send(manager, csv(*(of(tag=tag) for tag in tags)))
    with django_assert_max_num_queries(40):  # SQLite takes so many values at once: rows go in by the hundred
        manager.post(shown.request["PATH_INFO"], {"seen": shown.context["plan"].digest})
    assert Hood.objects.count() == EarlierResult.objects.count() == 120


def test_a_day_that_has_come_by_the_sites_clock_is_no_day_to_come(manager, hood):
    today = hood.site.today()
    keep(manager, csv(of(**{"measured on": today.isoformat()})))
    tomorrow = today + timedelta(days=1)
    refused = send(manager, csv(of(**{"measured on": tomorrow.isoformat()})))
    assert "still to come" in problems(refused)[0][2]
