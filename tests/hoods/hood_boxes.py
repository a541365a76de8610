"""What the pages of a hood are sent, and what they refuse."""

from __future__ import annotations

from django.urls import reverse


def at(view: str, *args) -> str:
    return reverse(f"hoods:{view}", args=args)


def errors(response) -> dict[str, list[str]]:
    form = response.context["form"]
    assert response.status_code == 422
    return {name: [str(error) for error in said] for name, said in form.errors.items()}


NEW = {
    "tag": "FH-0150", "kind": "general", "control": "constant-volume", "sash": "vertical", "glass": "", "maker": "",
    "model": "", "serial": "", "interior_width": "", "work_surface_height": "", "monitor": "velocity", "set_point": "",
    "alarm_point": "", "uses_forbidden": "", "on": "2026-03-12", "position": "", "order": "0", "exhaust": "",
    "width": "62 in", "height": "18 in",
}  # fmt: skip


# --- openings -----------------------------------------------------------------------------------------------------------------

LOWER = {"name": "lower", "use": "lower", "width": "62 in", "height": "300 mm", "tested_every_survey": "on"}
