"""When hoods are registered in tests."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from hoods.models import Entry

AT = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
TODAY = date(2026, 3, 12)
EARLIER, LATER = TODAY - timedelta(30), TODAY + timedelta(30)


def last_entry(thing):
    return Entry.objects.of(thing).first()
