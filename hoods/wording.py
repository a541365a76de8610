"""Why a file cannot be read as a list, as sentences: what is wrong and what would be right."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from hoods.core.table import Unreadable

UNREADABLE = {
    "too-large": gettext_noop("This file is larger than %(most)d MB: take out what does not belong to the list, or part it into several."),
    "empty": gettext_noop("This file is empty: choose one with a heading and rows below it."),
    "old-workbook": gettext_noop("This is a workbook of an older kind, or one with a password: save it as XLSX without a password, or as CSV."),
    "encoding": gettext_noop("This file has letters of an older alphabet: save it as ‘CSV UTF-8’, or as XLSX."),
    "unmarked": gettext_noop("This file is text of two bytes a letter and does not say so: save it as ‘CSV UTF-8’, or as XLSX."),
    "no-text": gettext_noop("This file has bytes that no text has, as a picture does: choose the list, saved as ‘CSV UTF-8’ or as XLSX."),
    "hidden": gettext_noop("This workbook has hidden rows, such as a filter leaves: show all rows, and delete those that do not belong to the list."),
    "quotes": gettext_noop("A quotation mark is opened or closed in a wrong place here: put each whole cell in quotes and write quotes in it twice."),
    "no-heading": gettext_noop("The first row is no heading of such a list: it names the columns, ‘tag’ among them, parted by commas, semicolons or tabs."),
    "told": gettext_noop("The first line, ‘%(line)s’, is no heading: delete it. Commas, semicolons and tabs are found without it."),
    "no-rows": gettext_noop("Below the heading there is no row: write one for each hood."),
    "too-many-rows": gettext_noop("The file goes on below row %(most)d: part it into several, and delete empty rows below the list."),
    "too-many-columns": gettext_noop("The heading has more than %(most)d columns: take out what the template does not have, and openings beyond those that a list can have."),
    "too-many-cells": gettext_noop("This row has %(found)d cells and the heading %(headings)d: put cells that hold a comma or semicolon in quotes."),
    "long-cell": gettext_noop("A cell of this row has more than %(most)d characters: shorten it."),
    "not-a-workbook": gettext_noop("This workbook cannot be opened: open it in the program that made it and save it as XLSX anew, or as CSV."),
    "unpacks-too-large": gettext_noop("This workbook holds far more than such a list (over %(most)d MB, or too many cells): copy the list into a new one."),
    "nested": gettext_noop("This workbook holds other files: copy the list into a new workbook, its values alone."),
    "definitions": gettext_noop("This workbook holds definitions that no such list has: copy the list into a new workbook."),
    "merged": gettext_noop("This workbook has merged cells, and whose value is in which row cannot be told: unmerge them and fill in each row."),
    "links": gettext_noop("This workbook takes values from other workbooks: copy the list and paste its values into a new one."),
    "which-sheet": gettext_noop("This workbook has %(sheets)d sheets: name the one with the list ‘%(name)s’, or delete the others."),
}  # fmt: skip


def why_unreadable(refusal: Unreadable) -> str:
    return _(UNREADABLE[refusal.code]) % refusal.values
