"""Signing in on a tablet."""

from django.urls import reverse


def test_somebody_signs_in_and_out(page, technician, sign_in):
    sign_in(page, technician, to=reverse("account_change_password"))
    assert page.get_by_role("heading", level=1).text_content() == "Change the password"
    page.goto(reverse("account_logout"))
    page.get_by_role("button", name="Sign out").click()
    assert page.get_by_role("heading", level=1).text_content() == "Sign in"


def test_a_wrong_password_is_said_and_the_address_kept(page, technician, complaints):
    page.goto(reverse("account_login"))
    page.get_by_label("Email").fill(technician.email)
    page.get_by_label("Password").fill("black heron 14")
    page.get_by_role("button", name="Sign in").click()
    assert "do not belong together" in page.get_by_role("main").text_content()
    assert page.get_by_label("Email").input_value() == technician.email
    complaints[:] = [said for said in complaints if "status of 422" not in said]


def test_a_complaint_of_the_browser_is_seen(page, complaints, live_server):
    page.goto(reverse("account_login"))
    page.evaluate("document.body.insertAdjacentHTML('beforeend', '<p style=\"color: red\">inline</p>')")
    page.wait_for_timeout(100)
    assert any("Content Security Policy" in complaint for complaint in complaints)
    complaints.clear()
