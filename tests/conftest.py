"""People and places for every test, and what the database needs between tests."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator

import pytest
from django.core.cache import caches
from django.test import Client, TransactionTestCase
from hypothesis import HealthCheck, settings

from config import sealing
from hoods.models import Building, Hood, Person, Room, Site
from tests import making

# How long an example takes is the machine's matter, and no test is timed.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")

# A transactional test ends by emptying every table, which sealed rows refuse: lifted for that moment alone.
_empty_tables = TransactionTestCase._fixture_teardown


def _empty_sealed_tables(self: TransactionTestCase) -> None:
    caches["default"].clear()  # its table belongs to no model, so nothing else empties it
    sealing.lift()
    try:
        _empty_tables(self)
    finally:
        sealing.seal()


TransactionTestCase._fixture_teardown = _empty_sealed_tables  # type: ignore[method-assign]


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker) -> None:
    """The tests' database, with the table that counts sign-ins."""
    from django.core.management import call_command

    with django_db_blocker.unblock():
        call_command("createcachetable", verbosity=0)


@pytest.fixture(autouse=True)
def _visitors_forgotten() -> Iterator[None]:
    yield
    caches["visitors"].clear()


@pytest.fixture
def site(db: None) -> Site:
    return making.make_site()


@pytest.fixture
def building(site: Site) -> Building:
    return making.make_building(site)


@pytest.fixture
def room(building: Building) -> Room:
    """The room of the lab manager."""
    return making.make_room(building)


@pytest.fixture
def other_room(building: Building) -> Room:
    """A room that the lab manager has no role in."""
    return making.make_room(building, "118", name="Analysis")


@pytest.fixture
def technician(site: Site) -> Person:
    return making.make_person("Ruth Okafor", site, "technician")


@pytest.fixture
def lab_manager(site: Site, room: Room) -> Person:
    return making.make_person("Asel Brandt", site, "lab-manager", room)


@pytest.fixture
def auditor(site: Site) -> Person:
    return making.make_person("Ines Maduro", site, "auditor")


@pytest.fixture
def programme_manager(site: Site) -> Person:
    return making.make_person("Henrik Sole", site, "programme-manager")


@pytest.fixture
def stranger(db: None) -> Person:
    """Somebody who may sign in and has no role anywhere."""
    return making.make_person("Tove Lind")


@pytest.fixture
def make_hood(room: Room, programme_manager: Person) -> Callable[..., Hood]:
    return functools.partial(_make_hood, room, programme_manager)


def _make_hood(its_room: Room, its_maker: Person, **fields) -> Hood:
    return making.make_hood(**({"room": its_room, "by": its_maker} | fields))


@pytest.fixture
def hood(make_hood: Callable[..., Hood]) -> Hood:
    return make_hood(tag="FH-0142")


@pytest.fixture
def signed_in() -> Callable[[Person], Client]:
    """A browser of somebody who has signed in."""

    def sign_in(person: Person) -> Client:
        client = Client()
        client.force_login(person)
        return client

    return sign_in
