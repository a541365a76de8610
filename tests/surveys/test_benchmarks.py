"""Benchmarks of openings by their pages: set with what shows them, listed with their past, and judged by."""

from __future__ import annotations

from copy import deepcopy
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from hoods.models import Entry
from surveys.actions.benchmark import set_benchmark
from surveys.models import Benchmark
from surveys.wording import day
from tests import making, surveying
from tests.surveying import CRITERIA, LOWER, entered

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


@pytest.fixture
def hood(make_hood):
    return make_hood(tag="FH-0142", openings=LOWER)


@pytest.fixture
def working(hood):
    return hood.openings.get(name="working")


def at(view: str, *args) -> str:
    return reverse(f"surveys:{view}", args=args)


def typed(which, site, **more) -> dict[str, object]:
    return {
        "opening": which.pk, "value": "104 ft/min", "from_on": site.today(), "source": "tracer gas test, report T-17",
        "why": "",
    } | more  # fmt: skip


def test_p9_a_benchmark_from_before_the_hood_was_placed_is_refused_at_its_day(manager, hood, working, site):
    placed = hood.placement().from_on
    before = manager.post(at("add_benchmark", hood.pk), typed(working, site, from_on=placed - timedelta(days=1)))
    assert before.status_code == 422
    assert f"The hood was placed on {day(placed.isoformat())}" in before.context["form"].errors["from_on"][0]
    assert Benchmark.objects.count() == 0
    assert manager.post(at("add_benchmark", hood.pk), typed(working, site, from_on=placed)).status_code == 302


def test_a_benchmark_is_set_with_its_value_source_day_and_by_whom(manager, hood, working, site, programme_manager):
    response = manager.post(at("add_benchmark", hood.pk), typed(working, site))
    assert response.url == at("benchmark_list", hood.pk)
    row = Benchmark.objects.get()
    assert (row.opening, row.value, row.from_on, row.source, row.by) == (
        working, "104 ft/min", site.today(), "tracer gas test, report T-17", programme_manager,
    )  # fmt: skip
    page = manager.get(response.url).content.decode()
    for said in (
        "1 of 2 openings has a benchmark",
        "104 ft/min (0.53 m/s)",
        "tracer gas test, report T-17",
        "Henrik Sole",
    ):
        assert said in page, said
    entry = Entry.objects.of(hood).first()
    assert (entry.action, entry.after["value"]) == ("benchmark-set", "104 ft/min")


def test_it_is_led_to_from_the_hood_and_from_its_inventory_and_stands_in_its_history(manager, hood, working, site):
    manager.post(at("add_benchmark", hood.pk), typed(working, site))
    for view in ("surveys:hood", "hoods:hood_inventory"):
        page = manager.get(reverse(view, args=[hood.pk])).content.decode()
        assert at("benchmark_list", hood.pk) in page
        assert "Benchmark set" in page
        assert "104 ft/min" in page


def test_the_last_one_holds_and_the_earlier_stay(manager, hood, working, site):
    first = site.today() - timedelta(400)
    manager.post(at("add_benchmark", hood.pk), typed(working, site, value="99 ft/min", from_on=first))
    manager.post(at("add_benchmark", hood.pk), typed(working, site))
    page = manager.get(at("benchmark_list", hood.pk)).content.decode()
    assert page.index("104 ft/min") < page.index("holds now") or page.index("holds now") < page.index("99 ft/min")
    assert page.count("holds now") == 1
    assert page.index("holds now") < page.index("99 ft/min")


REFUSED = [
    ("opening", "", "choose one"),
    ("value", "", "Nothing is written"),
    ("value", "104", "has no unit"),
    ("value", "104 in", "unit of another kind"),
    ("value", "1,04 m/s", "no number with a unit"),
    ("value", "0 ft/min", "is not above zero"),
    ("value", "10400 ft/min", "is more than 1000 ft/min"),
    ("from_on", "soon", "This is no day"),
    ("from_on", 1, "still to come"),
    ("source", "", "Nothing is written"),
]


@pytest.mark.parametrize(("box", "text", "said"), REFUSED, ids=[f"{case[0]} {case[1]}" for case in REFUSED])
def test_each_refusal_is_a_sentence_at_its_box(manager, hood, working, site, box, text, said):
    text = site.today() + timedelta(text) if isinstance(text, int) else text
    response = manager.post(at("add_benchmark", hood.pk), typed(working, site, **{box: text}))
    assert response.status_code == 422
    assert said in " ".join(map(str, response.context["form"].errors[box]))
    assert not Benchmark.objects.exists()


def test_a2_an_opening_of_another_hood_is_not_in_the_list(manager, hood, make_hood, site):
    other = make_hood(tag="FH-0777").openings.get()
    response = manager.post(at("add_benchmark", hood.pk), typed(other, site))
    assert "not in the list" in response.context["form"].errors["opening"][0]


def test_a4_others_read_benchmarks_and_set_none(request, signed_in, hood, working, site):
    for role in ("technician", "lab_manager", "auditor"):
        client = signed_in(request.getfixturevalue(role))
        page = client.get(at("benchmark_list", hood.pk))
        assert page.status_code == 200
        assert at("add_benchmark", hood.pk) not in page.content.decode()
        assert client.post(at("add_benchmark", hood.pk), typed(working, site)).status_code == 403
    assert not Benchmark.objects.exists()


def test_a2_benchmarks_of_another_room_are_not_there_for_a_lab_manager(
    signed_in, lab_manager, other_room, programme_manager
):
    hidden = making.make_hood(room=other_room, by=programme_manager, tag="FH-0778")
    assert signed_in(lab_manager).get(at("benchmark_list", hidden.pk)).status_code == 404


def test_the_database_keeps_a_benchmark_as_it_was_set(manager, hood, working, site):
    manager.post(at("add_benchmark", hood.pk), typed(working, site))
    with pytest.raises(IntegrityError), transaction.atomic():
        Benchmark.objects.update(value="90 ft/min")


def test_the_page_asks_as_much_of_one_benchmark_as_of_three(manager, hood, working, site, programme_manager,
                                                           django_assert_num_queries):  # fmt: skip
    how = {"opening": working, "value": "100 ft/min", "by": programme_manager, "at": timezone.now(), "source": "s"}
    set_benchmark(from_on=site.today(), **how)
    with CaptureQueriesContext(connection) as asked:
        manager.get(at("benchmark_list", hood.pk))
    for days in (10, 20):
        set_benchmark(from_on=site.today() - timedelta(days), **how)
    with django_assert_num_queries(len(asked.captured_queries)):
        manager.get(at("benchmark_list", hood.pk))


def test_a_survey_is_held_to_the_benchmark_that_holds_on_its_day(make_hood, site, programme_manager, technician):
    ratio = deepcopy(CRITERIA) | {
        "limits": [{"figure": "benchmark-ratio", "at_least": "0.90", "at_most": "1.20", "applies_to": "working",
                    "consequence": "fail"}],
    }  # fmt: skip
    hood = make_hood(tag="FH-0143")
    working = hood.openings.get()
    surveying.assign(hood, surveying.make_version(site, programme_manager, ratio), programme_manager)
    instrument = surveying.make_instrument(site, programme_manager)
    content = entered(instrument)
    how = {"opening": working, "by": programme_manager, "at": surveying.SURVEYED, "source": "report"}
    day = surveying.SURVEYED.date()
    set_benchmark(value="130 ft/min", from_on=day - timedelta(400), **how)
    first = surveying.survey(hood, content, technician)
    assert first.verdict == "fail", "99.6 is 0.77 of 130"
    set_benchmark(value="100 ft/min", from_on=day, **how)
    second = surveying.survey(hood, content, technician, surveying.SURVEYED + timedelta(hours=2))
    assert second.verdict == "pass", "99.6 is 0.996 of 100"
    kept = [survey.record.attested["facts"]["benchmarks"] for survey in (first, second)]
    assert kept == [[{"opening": "working", "value": "130 ft/min"}], [{"opening": "working", "value": "100 ft/min"}]]
