"""A list to choose from, drawn in one piece: word for word what Django draws with a template for each option."""

from __future__ import annotations

import re

import pytest
from django.forms import Select, SelectMultiple
from django.forms.renderers import DjangoTemplates, TemplatesSetting
from django.template.loader import get_template

from config.settings import ROOT

CASES = {
    "plain": (Select, {}, [("a", "Range A"), ("b", "<b> & “b”")], "b"),
    "none chosen": (Select, {"id": "id_room", "disabled": True}, [("", "Choose"), (1, "1"), (2, "2")], None),
    "groups": (Select, {}, [("North", [(1, "one"), (2, "two")]), (3, "three")], 3),
    "several": (SelectMultiple, {"class": "input"}, [(1, "one"), (2, "two"), (3, "three")], [1, 3]),
    "empty": (Select, {}, [], None),
}


@pytest.mark.parametrize("case", CASES)
def test_a_list_to_choose_from_is_drawn_as_django_draws_it(case):
    widget, attrs, choices, value = CASES[case]
    ours, theirs = (
        re.sub(r"\s+", " ", widget(attrs, choices).render("room", value, renderer=renderer)).strip()
        for renderer in (TemplatesSetting(), DjangoTemplates())
    )
    assert ours == theirs


def test_it_is_drawn_by_our_own_template():
    """The control: without it the test above compares Django with itself."""
    assert get_template("django/forms/widgets/select.html").origin.name.startswith(str(ROOT))
