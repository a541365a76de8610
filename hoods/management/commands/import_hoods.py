"""Bring in a list of hoods: `manage.py import_hoods hoods.csv --site "Skua Institute" --dry-run`."""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from hoods import actions, inventory, inventory_ends, inventory_file
from hoods.core.ending import Lost
from hoods.core.quantity import shown
from hoods.core.table import Unreadable
from hoods.forms.inventory_list import check
from hoods.inventory_changes import Difference
from hoods.inventory_kept import points
from hoods.inventory_said import ROOM_COLUMNS, Problem, Said
from hoods.models import Person, Role, Site
from hoods.models.people import PROGRAMME_MANAGER
from hoods.wording import why_unreadable

MOST_SAID = 50  # problems
ENDS = {"all": "ends every approval", "opening": "ends its approval"}
PLACES = {"building": "building", "room": "room", "exhaust": "exhaust system"}


class Command(BaseCommand):
    help = "Adds and changes hoods as a list (CSV or XLSX) says: all of it or nothing. Says what is wrong by row and column."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "file", type=Path, help="the list; its columns are those of the template on the import page"
        )
        parser.add_argument("--site", default="", help="the site, where the ledger has several")
        parser.add_argument("--by", default="", metavar="EMAIL", help="the programme manager who answers for it")
        parser.add_argument("--dry-run", action="store_true", help="say what would be done, and do nothing")

    def handle(self, *args: Any, file: Path, site: str, by: str, **options: Any) -> None:
        where = _site(site)
        said, problems = self.read(file, where)
        plan = inventory.plan(where, said, where.today())
        self.refuse(sorted([*problems, *plan.problems], key=lambda one: one.row))
        self.stdout.write(f"{where.name}: {_counts(plan)}")
        ends = inventory_ends.ends(plan, timezone.now())
        if ends.hoods:
            self.stdout.write(f"{ends.hoods} of those changed must be surveyed before use: an approval of theirs ends.")
        for caution in inventory_ends.cautions(plan):
            self.stdout.write(caution)
        if not plan.does_something:
            self.stdout.write("The list changes nothing.")
        elif options["dry_run"]:
            self.tell(plan, ends)
            self.stdout.write("Nothing is kept: this was a dry run.")
        else:
            self.keep(where, said, plan, _who(where, by), file.name)
            if ends.labels:
                self.stdout.write(f"Take the label off: {ends.labels_named}.")

    def read(self, file: Path, site: Site) -> tuple[Sequence[Said], Sequence[Problem]]:
        self.stdout.write(f"Reading {file.name} ...")
        try:
            table = inventory_file.read(file.read_bytes())
        except OSError as error:
            raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
        except Unreadable as refusal:
            row = f"row {refusal.row}: " if refusal.row else ""
            raise CommandError(f"{file.name}: {row}{why_unreadable(refusal)} Nothing is kept.") from refusal
        self.stdout.write(f"Checking {len(table.rows)} row{'s' if len(table.rows) != 1 else ''} ...")
        checked = check(table, points(site))
        return checked.said, checked.problems

    def refuse(self, problems: Sequence[Problem]) -> None:
        if problems:
            more = len(problems) - MOST_SAID
            said = [f"row {one.row}, {one.column}: {one.said}" for one in problems[:MOST_SAID]]
            said += [f"and {more} more"] if more > 0 else []
            raise CommandError("\n".join([*said, "Nothing is kept: put these right and try again."]))

    def tell(self, plan: inventory.Plan, ends: inventory_ends.Ends) -> None:
        for kind, name, what in plan.places:
            said = "; ".join(f"{ROOM_COLUMNS[column]}: {text}" for column, text in what.items() if text)
            self.stdout.write(
                f"  new {PLACES[kind]} {name if isinstance(name, str) else ' '.join(name)}  {said}".rstrip()
            )
        for one in plan.changed:
            for each in one.differences:
                said = _ends(each, ends.lost.get(one.kept.hood.pk))
                self.stdout.write(f"  {one.said.tag}, {each.column}: {_before(each)} -> {_word(each.after)}{said}")
        for new in plan.added:
            place = "; ".join(filter(None, [f"installed on {new.on}", new.where, new.what]))
            self.stdout.write(f"  new hood {new.tag} in {new.building} {new.room}  {place}")
            for opening in new.openings:
                self.stdout.write(f"    opening {opening.name}  {opening.said}")

    def keep(self, site: Site, said: Sequence[Said], plan: inventory.Plan, by: Person, name: str) -> None:
        try:
            actions.keep_list(
                site=site, said=said, seen=plan.digest, by=by, at=timezone.now(), why=f"From the list {name}.",
                told=lambda kept, of: self.stdout.write(f"  {kept} of {of} hoods"),
            )  # fmt: skip
        except actions.Refused as refusal:
            raise CommandError(str(refusal)) from refusal
        except KeyboardInterrupt as stopped:
            raise CommandError("Stopped before the list was kept: nothing of it is kept.") from stopped
        self.stdout.write("The list is kept.")


def _ends(each: Difference, lost: Lost | None) -> str:
    """What a difference ends of what stands approved."""
    if lost is None or not each.ends or (each.ends == "opening" and each.opening not in lost.openings):
        return ""
    return f"  ({ENDS[each.ends]}{'; take its label off' if lost.label else ''})"


def _before(each: Difference) -> str:
    return f"new opening, number {each.new} of this hood" if each.new else _word(each.before)


def _word(value: Any) -> str:
    return {"True": "yes", "False": "no", "": "–"}.get(str(value), shown(str(value)))


def _counts(plan: inventory.Plan) -> str:
    opened = f" New openings of hoods that the site has: {plan.openings}." if plan.openings else ""
    return f"{len(plan.added)} to add, {len(plan.changed)} to change, {plan.left} to leave as they are.{opened}"


def _site(name: str) -> Site:
    sites = Site.objects.filter(name=name) if name else Site.objects.all()
    found = list(sites[:2])
    if len(found) == 1:
        return found[0]
    names = ", ".join(Site.objects.values_list("name", flat=True))
    if name or not found:
        raise CommandError(f"There is no site “{name}”: the ledger has {names or 'none yet (add_site adds one)'}.")
    raise CommandError(f"The ledger has several sites: name one with --site ({names}).")


def _who(site: Site, email: str) -> Person:
    """Who answers for it: the one named, or the only programme manager of the site."""
    today = site.today()
    roles = Role.objects.filter(site=site, role=PROGRAMME_MANAGER, person__is_active=True).select_related("person")
    managers = {role.person.email: role.person for role in roles if role.in_effect(today)}
    if email:
        if email.strip().lower() not in managers:
            raise CommandError(f"{email} is no programme manager of {site.name}: name one with --by.")
        return managers[email.strip().lower()]
    if len(managers) != 1:
        raise CommandError("Name the programme manager who answers for it: --by EMAIL.")
    return next(iter(managers.values()))
