"""Send the mails that have not gone out yet; to be run every few minutes."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from surveys.actions.notices import day_behind, send_waiting
from surveys.models import Notice


class Command(BaseCommand):
    help = "Try again every mail that a mail server has not taken yet. Ends with an error while any is left."

    def handle(self, *args: Any, **options: Any) -> None:
        if not settings.MAIL_IS_SET_UP:
            waiting = Notice.objects.waiting(day_behind(timezone.now())).count()
            raise CommandError(f"No mail server is set up (HOOD_LEDGER_MAIL_URL): {waiting} wait and are kept.")
        number, answers = send_waiting(at=timezone.now())
        self.stdout.write(f"{number} sent.")
        if answers:
            said = "; ".join(dict.fromkeys(answers))
            raise CommandError(f"{len(answers)} not sent, and kept to be tried again: {said}")
