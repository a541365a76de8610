"""How often the first page and the due list ask the database: of each role, and of one person who has them all."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from hoods.models import Hood, Role
from surveys import queries
from tests import making
from tests.surveys import rows
from tests.surveys.conftest import TODAY

pytestmark = pytest.mark.usefixtures("now")
ROLES = ("technician", "lab-manager", "auditor", "programme-manager")
MOST = 12


@pytest.fixture
def something_of_everything(hood_of, make_hood, in_force, technician, programme_manager) -> list[Hood]:
    """Hoods of each status, one of panels, one that stands nowhere yet, a draft, an instrument that was out of tolerance."""
    hoods = [hood_of(kind) for kind in ("met-criteria", "restricted", "do-not-use", "overdue", "out-of-service")]
    panels = (("left", "working", "20 in", "30 in"), ("left, half", "working", "10 in", "30 in"))
    paned = make_hood(sash="horizontal", openings=panels, way="left")
    seen = rows.survey(paned, in_force, technician, date(2026, 3, 12), approved=("left", "left, half"))
    rows.out_of_tolerance(seen.instrument, programme_manager, date(2026, 3, 20))
    nowhere = make_hood(on=date(2026, 5, 1))
    rows.draft(hoods[3], in_force, technician, TODAY)
    return [*hoods, paned, nowhere]


def asked(client, address: str) -> list[str]:
    client.get(address)
    with CaptureQueriesContext(connection) as every:
        assert client.get(address).status_code == 200
    return [query["sql"] for query in every]


@pytest.mark.parametrize("address", ["/", "/due/"])
@pytest.mark.parametrize("roles", [*((role,) for role in ROLES), ROLES], ids=lambda roles: "+".join(roles))
def test_f1_no_role_asks_more_than_a_dozen_queries_and_nor_do_all_at_once(
    signed_in, site, room, something_of_everything, roles, address
):
    person = making.make_person("Asel Moreno", site, roles[0], room=room if roles[0] == "lab-manager" else None)
    for role in roles[1:]:
        Role.objects.create(
            person=person, site=site, role=role, room=room if role == "lab-manager" else None, from_on=making.ON
        )
    paned = queries.status_of(something_of_everything[-2], TODAY)
    assert paned.flag("instrument-in-doubt"), "calibrations are asked for"
    assert all(one.of_several for one in paned.approved), "so are the openings of panels"
    found = asked(signed_in(person), address)
    assert len(found) <= MOST, [sql[:90] for sql in found]
