"""What only some kinds of hood need, as the survey page asks it and the signed page tells it."""

from __future__ import annotations

from datetime import date

import pytest
from django.core import mail
from django.urls import reverse

from surveys.actions.stops import post_stop
from surveys.core.checks import CHECK
from surveys.core.starters import STARTERS
from tests import surveying
from tests.filling import Surveyor
from tests.making import make_hood
from tests.surveying import CRITERIA, SURVEYED
from tests.surveys.said import yes
from tests.surveys.words import plain, said

pytestmark = pytest.mark.django_db

OF_KINDS = [
    ({"kind": "perchloric-acid"}, ("wash-down-works", "no-organics", "residue-tested")),
    ({"kind": "radioisotope"}, ("radiation-office-told",)),
    ({"kind": "filtered"}, ("filter-type-fits", "filter-in-date", "materials-approved", "no-breakthrough")),
    ({"kind": "auxiliary-air"}, ("auxiliary-air-off", "auxiliary-air-on")),
    ({"powered": True}, ("sash-stops-at-obstruction", "sash-released-by-hand", "sash-stays-without-power")),
    ({"sash": "horizontal", "way": "left panel"}, ("panels-in-tracks",)),
    ({"sash": "combination", "way": "frame"}, ("panels-in-tracks",)),
    ({}, ("cupboard-vented",)),
]  # fmt: skip
OWN = {code for what, codes in OF_KINDS for code in codes if what}


def asking(*codes):
    """Criteria that ask these checks of the hood at the cost of its use."""
    more = [{"check": code, "applies_to": "hood", "consequence": "fail"} for code in codes]
    return CRITERIA | {"checks": [*CRITERIA["checks"], *more]}


@pytest.mark.parametrize(
    ("what", "codes"), OF_KINDS, ids=[" ".join(map(str, what.values())) or "any" for what, _ in OF_KINDS]
)
def test_the_survey_page_asks_what_a_kind_needs_and_of_no_other_kind(
    room, technician, programme_manager, signed_in, what, codes
):
    every = asking(*sorted(OWN | {"cupboard-vented"}))
    hood = make_hood(room=room, by=programme_manager, **what)
    surveying.make_instrument(hood.site, programme_manager)
    surveying.assign(hood, surveying.make_version(hood.site, programme_manager, every), programme_manager)
    page = plain(Surveyor(signed_in(technician), hood).page)
    for code in codes:
        assert CHECK[code].question in page
    for code in OWN - set(codes):
        assert CHECK[code].question not in page, code


@pytest.mark.parametrize(
    ("what", "codes"), OF_KINDS, ids=[" ".join(map(str, what.values())) or "any" for what, _ in OF_KINDS]
)
@pytest.mark.parametrize(("answer", "verdict"), [("yes", "pass"), ("no", "fail"), ("not-tested", "no-verdict")])
def test_each_of_them_alone_decides(room, technician, programme_manager, what, codes, answer, verdict):
    """Every other one is answered yes: whichever is not as it should be costs the use, whichever is not looked at the verdict."""
    hood = make_hood(room=room, by=programme_manager, **what)
    instrument = surveying.make_instrument(hood.site, programme_manager)
    surveying.assign(hood, surveying.make_version(hood.site, programme_manager, asking(*codes)), programme_manager)
    for number, asked in enumerate(codes):
        content = surveying.entered(instrument)
        content["answers"] += [yes(code) | ({"answer": answer} if code == asked else {}) for code in codes]
        signed = surveying.survey(hood, content, technician, at=SURVEYED.replace(day=13 + number))
        assert signed.verdict == verdict, asked


@pytest.fixture
def isotope(room, technician, programme_manager):
    """A radioisotope hood under the set that is due twice a year, its open checks settled."""
    hood = make_hood(room=room, by=programme_manager, kind="radioisotope")
    document = STARTERS["radioisotope-half-yearly"].document
    checks = [{"check": "radiation-office-told", "applies_to": "hood", "consequence": "note"}, *CRITERIA["checks"][:2]]
    version = surveying.make_version(hood.site, programme_manager, document | {"checks": checks})
    surveying.assign(hood, version, programme_manager)
    return hood


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        ("yes", "told of this survey, as answered"),
        ("no", "not told yet: tell it of this survey"),
        (None, "not told yet"),
    ],
)
def test_a_radioisotope_hood_is_due_in_half_a_year_and_says_whether_its_office_was_told(
    isotope, technician, programme_manager, signed_in, answer, words
):
    content = surveying.entered(surveying.make_instrument(isotope.site, programme_manager))
    content["answers"] = content["answers"][:2] + [
        {"check": "radiation-office-told", "answer": "yes" if answer is None else answer}
    ]
    if answer is None:
        content["answers"].pop()
    signed = surveying.survey(isotope, content, technician)
    assert signed.verdict == "pass"
    if answer is not None:
        assert signed.due_on == date(2026, 9, 12), "six months from 12 March"
    client = signed_in(technician)
    assert f"Radiation office {words}" in said(client.get(reverse("surveys:detail", args=[signed.pk])))
    assert "the radiation office is told of each survey" in said(client.get(reverse("surveys:hood", args=[isotope.pk])))


@pytest.mark.parametrize(("kind", "told"), [("radioisotope", True), ("general", False)])
def test_a_mail_of_a_radioisotope_hood_asks_to_tell_the_radiation_office(
    room, technician, lab_manager, django_capture_on_commit_callbacks, programme_manager, kind, told
):
    hood = make_hood(room=room, by=programme_manager, kind=kind)
    with django_capture_on_commit_callbacks(execute=True):
        post_stop(hood=hood, reason="glass-broken", by=technician, at=SURVEYED)
    assert mail.outbox
    assert all(("tell the radiation office too" in one.body) is told for one in mail.outbox)
