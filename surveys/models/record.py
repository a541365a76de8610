"""Records: what was attested, word for word, numbered without gaps."""

from __future__ import annotations

import json
from typing import Any

from django.db import models


class Record(models.Model):
    """The truth of a signed survey or an adopted criteria version; rows elsewhere are its index."""

    number = models.BigIntegerField(primary_key=True)
    kind = models.CharField(max_length=40)  # survey, criteria
    format = models.PositiveSmallIntegerField()
    content = models.TextField()  # canonical JSON by RFC 8785
    sha256 = models.CharField(max_length=64)
    at = models.DateTimeField()

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return str(self.number)

    @property
    def attested(self) -> dict[str, Any]:
        return json.loads(self.content)
