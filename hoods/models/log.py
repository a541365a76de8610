"""The log: who changed what, when, from what to what, and why. Rows are only ever added."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import models

from hoods.models.people import Person


class EntryQuerySet(models.QuerySet):
    def of(self, thing: models.Model) -> EntryQuerySet:
        """The entries of one thing, newest first."""
        return self.filter(thing=thing._meta.model_name, thing_id=str(thing.pk)).select_related("by")

    def of_hood(self, hood: models.Model, surveys: Iterable[Any]) -> EntryQuerySet:
        """The entries of a hood and of its surveys (their primary keys), newest first."""
        ids = [str(pk) for pk in surveys]
        about = models.Q(thing=hood._meta.model_name, thing_id=str(hood.pk))
        return self.filter(about | models.Q(thing__in=("draft", "survey"), thing_id__in=ids)).select_related("by")

    def add(
        self,
        *,
        by: Person | None,
        at: datetime,
        action: str,
        what: models.Model,
        before: dict[str, Any] | None = None,
        after: dict[str, Any] | None = None,
        why: str = "",
    ) -> Entry:
        entry = Entry.of(by=by, at=at, action=action, what=what, before=before, after=after, why=why)
        entry.save(force_insert=True)
        return entry


class Entry(models.Model):
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")  # null: the system itself
    action = models.CharField(max_length=60)  # 'hood-registered'
    thing = models.CharField(max_length=60)  # model name: 'hood'
    thing_id = models.CharField(max_length=40)
    before = models.JSONField(null=True)
    after = models.JSONField(null=True)
    why = models.TextField(blank=True)

    objects = EntryQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["thing", "thing_id", "-at"], name="entry_thing")]

    @classmethod
    def of(cls, *, what: models.Model, **said: Any) -> Entry:
        """An entry about a thing, not saved: an action that many rows go through adds them at once."""
        return cls(thing=what._meta.model_name or "", thing_id=str(what.pk), **said)
