"""Mail servers as they can be: one that refuses an address, one that is away, one that is slow, one that looks around."""

from __future__ import annotations

import re
import time
from collections.abc import Sequence
from email.message import EmailMessage
from pathlib import Path
from smtplib import SMTPRecipientsRefused
from typing import ClassVar

from django.core.mail.backends.base import BaseEmailBackend
from django.core.mail.backends.filebased import EmailBackend as Filed
from django.core.mail.backends.locmem import EmailBackend as Kept
from django.db import connection

REFUSING, AWAY, SLOW, LOOKING = (f"tests.mailing.{name}" for name in ("Refusing", "Away", "Slow", "Looking"))


class Refusing(Kept):
    """Knows nobody called Asel; takes everything else."""

    def send_messages(self, messages: Sequence[EmailMessage]) -> int:
        for message in messages:
            if message.to[0].startswith("asel@"):
                answer = f"5.1.1 <{message.to[0]}>: no such mailbox".encode()
                raise SMTPRecipientsRefused({message.to[0]: (550, answer)})
        return super().send_messages(messages)


class Away(BaseEmailBackend):
    """Nobody answers; counts how often it was called."""

    calls: ClassVar[list[str]] = []

    def send_messages(self, messages: Sequence[EmailMessage]) -> int:
        self.calls.append(messages[0].to[0])
        raise ConnectionRefusedError(111, "Connection refused")


class Slow(Filed):
    """Takes its time, so that another sender comes meanwhile; each mail becomes a file."""

    def send_messages(self, messages: Sequence[EmailMessage]) -> int:
        time.sleep(0.5)
        return super().send_messages(messages) or 0


class Looking(Kept):
    """Notes what the program holds of its database while it talks to the server."""

    seen: ClassVar[list[tuple[bool, bool]]] = []

    def send_messages(self, messages: Sequence[EmailMessage]) -> int:
        self.seen.append((connection.in_atomic_block, connection.connection is not None))
        return super().send_messages(messages)


def files(folder: Path) -> list[str]:
    """The mails in a folder, each as text."""
    texts = "".join(file.read_text() for file in sorted(folder.iterdir()))
    return [text for text in re.split(r"(?m)^-{79}\n", texts) if text.strip()]
