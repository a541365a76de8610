"""What pages of findings are looked at with."""

from __future__ import annotations

from datetime import timedelta

from django.urls import reverse

from tests.surveying import SURVEYED, grid

NOW = SURVEYED + timedelta(days=20)
LIST = "/findings/"
NINETY = grid(["88", "92", "89", "91", "90", "88", "92", "89", "91", "90"])
LOW = grid(["72", "73", "71", "72", "74", "71", "73", "72", "71", "71"])


def address(what, finding):
    return reverse(f"surveys:{what}", args=[finding.pk])
