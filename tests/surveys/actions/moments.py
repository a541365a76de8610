"""The moments of a survey in tests: measured from one, signed twenty minutes later."""

from __future__ import annotations

from datetime import timedelta

from tests.surveying import SURVEYED

SIGNED = SURVEYED + timedelta(minutes=20)


def at_minute(minutes: int, seconds: int = 0) -> str:
    return (SURVEYED + timedelta(minutes=minutes, seconds=seconds)).strftime("%Y-%m-%dT%H:%M:%SZ")
