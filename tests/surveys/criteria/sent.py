"""What the pages of criteria send, and what they answer."""

from __future__ import annotations

from django.urls import reverse

from surveys.actions import criteria
from surveys.models import CriteriaVersion
from tests import making

STARTER = "average-in-three-bands"


def undecided(version: CriteriaVersion) -> list[str]:
    return [check["check"] for check in version.document["checks"] if check["consequence"] == "undecided"]


def at(view: str, *args) -> str:
    return reverse(f"surveys:{view}", args=args)


def errors(response) -> dict[str, list[str]]:
    assert response.status_code == 422
    return {name: [str(error) for error in said] for name, said in response.context["form"].errors.items()}


def signature(version: CriteriaVersion, today, **more) -> dict[str, str]:
    return {
        "first_day": today, "why": "compared with the local rules", "compared": "on", "password": making.PASSWORD,
        "seen": criteria.content_hash(version),
    } | more  # fmt: skip


def costs(version: CriteriaVersion, **more) -> dict[str, str]:
    """The form of the checks as its page gives it, with other answers."""
    form = {}
    for check in criteria.asked_or_offered(version):
        form[f"cost-{check['check']}"] = check["consequence"]
        form[f"words-{check['check']}"] = check.get("restriction") or ""
    return form | more
