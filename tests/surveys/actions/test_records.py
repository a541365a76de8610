"""Records are numbered without gaps, kept word for word, and refused where they would not read the same for ever."""

import pytest
from django.db import IntegrityError, transaction

from surveys.actions.records import append_record, next_number
from surveys.core.record import NotAttestable, canonical, sha256_hex
from surveys.models import Record
from tests.making import AT

pytestmark = pytest.mark.django_db


def test_numbers_follow_one_another_from_one():
    numbers = [append_record(kind="survey", content={"n": n}, at=AT).number for n in range(3)]
    assert numbers == [1, 2, 3]


def test_content_is_canonical_and_hashed():
    record = append_record(kind="survey", content={"b": "2", "a": [True, None, 3, "ü"]}, at=AT)
    assert record.content == '{"a":[true,null,3,"ü"],"b":"2"}'
    assert record.sha256 == sha256_hex(canonical({"a": [True, None, 3, "ü"], "b": "2"}))
    assert Record.objects.get().attested == {"a": [True, None, 3, "ü"], "b": "2"}


def test_a_number_that_was_asked_for_is_used():
    with transaction.atomic():
        number = next_number()
        assert append_record(kind="survey", content={}, at=AT, number=number).number == number == 1


def test_a_float_is_refused_and_leaves_no_gap():
    with pytest.raises(NotAttestable), transaction.atomic():
        append_record(kind="survey", content={"average": 99.5}, at=AT)
    assert append_record(kind="survey", content={}, at=AT).number == 1


@pytest.mark.parametrize("number", [1, 3, 0, -1])
def test_g3_the_database_refuses_a_number_that_is_not_the_next(number):
    append_record(kind="survey", content={}, at=AT)
    with pytest.raises(IntegrityError), transaction.atomic():
        append_record(kind="survey", content={}, at=AT, number=number)


@pytest.mark.django_db(transaction=True)
def test_a_record_outside_a_transaction_is_refused():
    with pytest.raises(RuntimeError, match="transaction"):
        append_record(kind="survey", content={}, at=AT)
    assert not Record.objects.exists()
