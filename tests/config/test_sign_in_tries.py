"""Wrong passwords at signing in are counted by person, and hold up nobody else."""

from __future__ import annotations

from django.test import Client

from tests.config.test_sign_in import is_signed_in, try_sign_in


def test_the_sixth_try_is_refused_even_with_the_password(technician):
    for _ in range(5):
        try_sign_in(Client(), technician, "black heron 14")
    client = Client()
    response = try_sign_in(client, technician)
    assert "too many tries with a wrong password: wait five minutes" in response.content.decode()
    assert not is_signed_in(client)


def test_control_the_fifth_try_is_not_refused(technician):
    for _ in range(4):
        try_sign_in(Client(), technician, "black heron 14")
    client = Client()
    try_sign_in(client, technician)
    assert is_signed_in(client)


def test_a9_wrong_tries_of_one_slow_nobody_else_behind_the_same_address(technician, lab_manager):
    for _ in range(20):
        try_sign_in(Client(), technician, "black heron 14")
    client = Client()
    try_sign_in(client, lab_manager)
    assert is_signed_in(client)
