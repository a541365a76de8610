"""Keeping a list of 5,000 hoods beside bulk_create of the same rows; the whole of it, read and shown, within 30 s."""

from __future__ import annotations

from time import perf_counter

from django.db import transaction
from django.utils import timezone

from hoods import inventory, inventory_file
from hoods.actions import keep_list
from hoods.forms.inventory_columns import columns
from hoods.forms.inventory_list import check
from hoods.models import Entry, Hood, HoodEvent, Opening, Placement
from tests.bench.ratio import said
from tests.making import make_person, make_site

MANY = 5_000


def listed() -> bytes:
    headings = [column.heading for column in columns(2)]
    lines = [",".join(headings)]
    for number in range(MANY):
        row = dict.fromkeys(headings, "") | {
            "tag": f"FH-{number:05}", "building": f"Range {number // 500}", "room": f"{number // 10}",
            "installed on": "2019-05-04", "exhaust": f"EF-{number // 20}", "kind": "general",
            "control": "constant-volume", "sash": "vertical", "monitor": "velocity", "set point": "100 fpm",
            "maker": f"Maker {number % 7}", "serial": f"{number:07}", "interior width": "1500 mm",
            "opening 1 name": "working", "opening 1 use": "working", "opening 1 width": "62 in",
            "opening 1 height": "18 in", "opening 2 name": "lower", "opening 2 use": "lower",
            "opening 2 width": "62 in", "opening 2 height": "12 in",
        }  # fmt: skip
        lines.append(",".join(row.values()))
    return "\r\n".join(lines).encode()


def bench_a_list_of_five_thousand_hoods(db):
    site = make_site()
    manager = make_person("Henrik Sole", site, "programme-manager")
    begun = perf_counter()
    rows = check(inventory_file.read(listed())).said
    seen = inventory.plan(site, rows, site.today()).digest
    shown = perf_counter() - begun
    begun = perf_counter()
    keep_list(site=site, said=rows, seen=seen, by=manager, at=timezone.now())
    kept = perf_counter() - begun
    assert Hood.objects.count() == MANY
    bare = _bare()
    print(f"\n  {MANY} hoods: read and shown in {shown:.1f} s, kept in {kept:.1f} s", end="")
    said("keeping a list over bulk_create of its rows", kept / bare, at_most=4)
    said("seconds until it is shown and kept", shown * 2 + kept, at_most=30)


def _bare() -> float:
    """Seconds for the same rows with nothing around them: written once more in a transaction that is undone."""
    tables = (Hood, Placement, HoodEvent, Opening, Entry)
    rows = {table: list(table.objects.all()) for table in tables}
    for number, one in enumerate(rows[Hood]):
        one.tag, one.code = f"again {number}", f"{number:08}"
    for number, one in enumerate(rows[Opening]):
        one.name = f"again {number}"
    for one in (one for table in tables for one in rows[table]):
        one.pk = None
    with transaction.atomic():
        begun = perf_counter()
        for table in tables:
            # An unsaved row of a hood keeps the hood that it had: the same number of the same columns is written.
            table.objects.bulk_create(rows[table])
        spent = perf_counter() - begun
        transaction.set_rollback(True)
    return spent
