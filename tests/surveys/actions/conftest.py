"""A hood that can be surveyed: criteria in force, an instrument in calibration."""

from functools import partial

import pytest

from hoods.models import Hood, Person, Site
from surveys.actions.drafts import start_draft
from surveys.models import CriteriaVersion, Draft, Instrument
from tests import surveying


@pytest.fixture
def version(site: Site, programme_manager: Person) -> CriteriaVersion:
    return surveying.make_version(site, programme_manager)


@pytest.fixture
def instrument(site: Site, programme_manager: Person) -> Instrument:
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def ready(hood: Hood, version: CriteriaVersion, programme_manager: Person) -> Hood:
    """FH-0142 with one working opening, judged by the version."""
    surveying.assign(hood, version, programme_manager)
    return hood


@pytest.fixture
def ready_with_lower(make_hood, version: CriteriaVersion, programme_manager: Person) -> Hood:
    hood = make_hood(tag="FH-0150", openings=surveying.LOWER)
    surveying.assign(hood, version, programme_manager)
    return hood


@pytest.fixture
def draft(ready: Hood, technician: Person) -> Draft:
    return start_draft(hood=ready, by=technician, at=surveying.SURVEYED)


@pytest.fixture
def after_commit(django_capture_on_commit_callbacks):
    """What is done inside is committed, and what waits for that is done."""
    return partial(django_capture_on_commit_callbacks, execute=True)


@pytest.fixture
def told(lab_manager, programme_manager):
    """The people who may have to be told."""
    return lab_manager, programme_manager
