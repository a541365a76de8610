"""The day that a page is about: today, or one that has been, asked for as `?on=2026-03-11`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from django.http import HttpRequest
from django.utils.translation import gettext

_WRITTEN = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True, slots=True)
class Day:
    """A day by the clock of a site; `refusal` says why it is today although another was asked for."""

    on: date
    is_today: bool
    asked: str = ""
    refusal: str = ""

    @property
    def keep(self) -> str:
        """What a link carries so that the next page is about the same day."""
        return "" if self.is_today else f"?on={self.on.isoformat()}"

    @property
    def status(self) -> int:
        """Of the answer: a day that was refused is no success."""
        return 422 if self.refusal else 200

    def ends(self, site: Any) -> datetime | None:
        """The midnight of the site with which a past day was over; None for today, which is not over."""
        if self.is_today:
            return None
        return datetime.combine(self.on + timedelta(days=1), time(0), site.zone)


def asked_day(request: HttpRequest, site: Any) -> Day:
    """The day asked for, or today and why not the other."""
    text, today = request.GET.get("on", "").strip()[:40], site.today()
    if not text:
        return Day(today, True)
    try:
        if not _WRITTEN.fullmatch(text):
            raise ValueError(text)
        day = date.fromisoformat(text)
    except ValueError:
        said = gettext("“%(text)s” is not a day. Write year, month, day, such as %(example)s.")
        return Day(today, True, text, said % {"text": text, "example": today.isoformat()})
    if day > today:
        said = gettext("%(day)s is still to come. Ask for today or a day that has been.")
        return Day(today, True, text, said % {"day": text})
    return Day(day, day == today, text)
