"""Load the invented institute, once, and write three of its prints."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from config.demo import campus, prints, scenario
from config.demo.build import build
from hoods.models import Site


class Command(BaseCommand):
    help = "Load the demo, if it is not there, and write a label, a certificate and a do-not-use sign."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--out", type=Path, help="the folder for the prints")
        parser.add_argument("--hoods", type=_whole, help="a campus of so many hoods in place of the institute")
        parser.add_argument("--years", type=_whole, default=10, help="for how many years they were surveyed: 10 if not said")

    def handle(
        self, *args: Any, out: Path | None = None, hoods: int | None = None, years: int = 10, **options: Any
    ) -> None:
        if hoods and out:
            raise CommandError("A campus of many hoods has no prints of its own: leave out --out or --hoods.")
        if not settings.DEMO:
            raise CommandError("The demo has known passwords: set HOOD_LEDGER_DEMO=1, and never where real records are.")
        site = Site.objects.filter(name=scenario.SITE["name"]).first()
        if site is not None:
            self.stdout.write("The demo is there already and stays as it is (make demo-fresh starts anew).")
        elif Site.objects.exists():
            raise CommandError("This ledger has a site of its own: the demo goes into an empty one.")
        elif hoods:
            site = campus.build(hoods=hoods, years=years, now=timezone.now(), say=self._say)
        else:
            site = build(now=timezone.now(), say=self._say)
        if out is not None:
            for said in prints.write(site, out):
                self.stdout.write(f"  {said}")
        self.stdout.write(f"Sign in with the password {scenario.PASSWORD} as")
        for someone in scenario.PEOPLE:
            self.stdout.write(f"  {someone.email:22} {someone.name}, {someone.role.replace('-', ' ')}")

    def _say(self, words: str) -> None:
        self.stdout.write(f"  {words}")
        self.stdout.flush()


def _whole(text: str) -> int:
    try:
        number = int(text)
    except ValueError:
        number = 0
    if number < 1:
        raise ArgumentTypeError(f"“{text}” cannot be: write a whole number from 1 on, such as 12.")
    return number
