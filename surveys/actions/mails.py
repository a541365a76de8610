"""A notice as a mail: its letter, in the language of who reads it, by the clock of the site that it is about."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from django.core.mail import EmailMultiAlternatives
from django.template.loader import render_to_string
from django.utils import timezone, translation

from surveys.actions import letters, letters_of_many
from surveys.models import Notice
from surveys.models.notice import INVITATIONS, OF_MANY


def letter_of(notice: Notice, at: datetime) -> letters.Letter:
    """The words of a notice, in its reader's language and by the clock of its site."""
    with _as_read_by(notice):
        if notice.kind in INVITATIONS:
            return letters.invitation(notice, at)
        return letters_of_many.of_hoods(notice, at) if notice.kind in OF_MANY else letters.of_hood(notice, at)


def mail_of(notice: Notice, letter: letters.Letter, server: Any) -> EmailMultiAlternatives:
    """A letter as it is handed to the mail server: plain text, with the same in HTML."""
    with _as_read_by(notice):
        context = {"letter": letter, "site": notice.site, "language": translation.get_language()}
        mail = EmailMultiAlternatives(
            subject=" ".join(letter.subject.split()),
            body=render_to_string("mail/letter.txt", context),
            to=[notice.address],
            headers={"Auto-Submitted": "auto-generated"},  # RFC 3834: no machine answers it
            connection=server,
        )
        mail.attach_alternative(render_to_string("mail/letter.html", context), "text/html")
    return mail


@contextmanager
def _as_read_by(notice: Notice) -> Iterator[None]:
    with translation.override(notice.to.language), timezone.override(notice.site.zone):
        yield
