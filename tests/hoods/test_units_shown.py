"""Units in lists as people write them, never as they are kept."""

from __future__ import annotations

import pytest

from hoods.core.quantity import FLOW, read, shown, units_of
from hoods.models import Hood
from tests.hoods.listed import NEW, comma, keep, problems, send
from tests.hoods.listed import shown as previewed
from tests.surveys.words import said

pytestmark = pytest.mark.django_db
FLOWS = NEW | {"monitor": "flow", "set point": "800 cfm", "alarm point": "600 cfm"}


@pytest.mark.parametrize(
    ("kept", "read_as"),
    [
        ("800 ft**3/min", "800 ft³/min"),
        ("2 m**3/h", "2 m³/h"),
        ("18 in", "18 in"),
        ("no measure", "no measure"),
        ("", ""),
    ],
)
def test_a_measure_is_shown_as_people_write_it(kept, read_as):
    assert shown(kept) == read_as
    if kept[:1].isdigit() and "in" not in kept.split()[1:]:
        assert str(read(read_as, FLOW)) == kept, "and is read as what it was"


def test_a_list_shows_units_as_people_write_them_before_it_is_kept_and_where_it_refuses(manager):
    page, _address = previewed(manager, comma(FLOWS))
    assert "set point: 800\N{NO-BREAK SPACE}ft³/min" in page.content.decode()
    assert "**" not in said(page)
    keep(manager, comma(FLOWS))
    assert Hood.objects.get().set_point == "800 ft**3/min"
    page, _address = previewed(manager, comma(FLOWS | {"set point": "850 cfm"}))
    assert "set point 800 ft³/min 850 ft³/min" in said(page)
    ((_row, _column, why),) = problems(send(manager, comma(FLOWS | {"set point": "850 furlongs"})))
    assert "ft³/min" in why
    assert "**" not in why
    assert units_of(FLOW) == "ft³/min, m³/s, m³/h, L/s"
