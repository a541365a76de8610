"""Begin a site: `manage.py add_site "Skua Institute" --zone Europe/London --manager henrik@skua.example`."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.core.validators import validate_email
from django.db import transaction
from django.utils import timezone

from hoods import actions


class Command(BaseCommand):
    help = "Adds a site with its first programme manager, and prints the one-time link that sets a password."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", help="the name of the site, as printed")
        parser.add_argument("--zone", required=True, help="its time zone, such as Europe/London")
        parser.add_argument("--manager", required=True, metavar="EMAIL", help="who manages its programme")
        parser.add_argument("--manager-name", default="", help="the printed name; can be changed on the page later")
        parser.add_argument("--initials", default="", help="the printed initials")

    def handle(self, *args: Any, name: str, zone: str, manager: str, **options: Any) -> None:
        printed = options["manager_name"] or manager.split("@")[0]
        initials = options["initials"] or printed[:1].upper()
        if not name.strip():
            raise CommandError("A site has a name: write it first, as it is to be printed.")
        try:
            validate_email(manager)
            invited = self.begin(name, zone, manager, printed, initials)
        except ValidationError as error:
            raise CommandError(f"'{manager}' is no e-mail address.") from error
        except actions.Refused as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(f"{name} is added, and {manager} manages its programme.")
        if invited.link:
            self.stdout.write("Hand over this link: it sets a password, once, within three days.")
            self.stdout.write(f"{settings.SITE_URL}{invited.link}")
        else:
            self.stdout.write(f"{manager} signs in with the password that is set already.")

    @transaction.atomic
    def begin(self, name: str, zone: str, email: str, printed: str, initials: str) -> actions.people.Invited:
        now = timezone.now()
        site = actions.add_site(name=name, time_zone=zone, by=None, at=now)
        return actions.invite_person(
            site=site, email=email, name=printed, initials=initials, role="programme-manager",
            from_on=site.day_of(now), by=None, at=now,
        )  # fmt: skip
