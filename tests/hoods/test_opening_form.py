"""The form of an opening: which part is open is asked where a sash has parts, and required where two exclude each other."""

from __future__ import annotations

import pytest
from django.urls import reverse

from hoods.forms import hood as forms
from tests.making import make_hood

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("sash", "ways"),
    [
        ("vertical", None),
        ("none", None),
        ("horizontal", ["", "left panel", "centre panel", "right panel", "panels"]),
        ("combination", ["", "frame", "left panel", "centre panel", "right panel", "panels"]),
    ],
)
def test_the_parts_offered_are_those_of_the_sash(sash, ways):
    form = forms.OpeningOf(sash=sash)
    assert (form.fields["way"].choices and [code for code, _ in form.fields["way"].choices] if ways else None) == ways
    assert ("way" in form.fields) == bool(ways)


def test_a_way_that_was_written_in_other_words_can_be_kept():
    form = forms.ChangedOpening(sash="horizontal", initial={"way": "hatch"})
    assert "hatch" in dict(form.fields["way"].choices)


SAID = [  # name, use, way, is it taken
    ("A", "working", "", False), ("A", "lower", "", False), ("frame", "working", "", False), ("A", "other", "", True),
    ("left", "working", "", True), ("A", "working", "centre panel", True),
]  # fmt: skip


@pytest.mark.parametrize(("name", "use", "way", "taken"), SAID)
def test_an_opening_of_a_horizontal_sash_says_its_part_by_its_name_or_its_way(name, use, way, taken):
    form = forms.OpeningOf(
        {"name": name, "use": use, "way": way, "width": "24 in", "height": "30 in"}, sash="horizontal"
    )
    assert form.is_valid() is taken
    if not taken:
        assert form.errors == {"way": ["Choose the part of this sash that is open: its name does not say it."]}


def test_an_opening_of_a_combination_sash_says_which_part_is_open(room, programme_manager, signed_in):
    hood = make_hood(room=room, by=programme_manager, sash="combination", openings=())
    client, address = signed_in(programme_manager), reverse("hoods:add_opening", args=[hood.pk])
    page = client.get(address).content.decode()
    names = {"width": "60", "height": "18"}
    sent = {"name": "frame raised", "use": "working", "tested_every_survey": "on"}
    for name, number in names.items():
        sent |= {f"{name}_0": number, f"{name}_1": "in", name: f"{number} in"}
    assert "Which part is open" in page
    refused = client.post(address, sent)
    assert refused.status_code == 422
    assert "Choose the part: the frame with its panels closed, or a panel with the frame down." in refused.content.decode()
    assert client.post(address, sent | {"way": "frame"}).status_code == 302
    assert hood.openings.get().way == "frame"
