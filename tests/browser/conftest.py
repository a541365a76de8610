"""Chromium for the tests here: found on the machine, or they say that they did not run."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from hoods.models import Person, Site
from tests.browser import institute
from tests.browser.tablet import Tablet
from tests.making import PASSWORD
from tests.surveying import assign, make_instrument, make_version

HERE = Path(__file__).parent
NAMES = ("chromium", "chromium-browser", "google-chrome")
WAIT = 30_000  # [ms] for what comes in a moment, on a machine that has much to do
TABLET = {"width": 820, "height": 1180}
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip

# Playwright keeps an event loop in this thread; Django would refuse its database there.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")


def chromium() -> str | None:
    return os.environ.get("HOOD_LEDGER_CHROMIUM") or next(filter(None, map(shutil.which, NAMES)), None)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """What stands here is driven in a browser; without one it is skipped, unless it is required."""
    absent = chromium() is None and os.environ.get("HOOD_LEDGER_BROWSER") != "required"
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)
            if absent:
                item.add_marker(pytest.mark.skip(reason="no Chromium found: install chromium to run what drives it"))


@pytest.fixture(scope="session")
def browser():
    from playwright.sync_api import sync_playwright

    expect.set_options(timeout=WAIT)
    path = chromium()
    if path is None:
        pytest.fail("HOOD_LEDGER_BROWSER=required, and no Chromium was found")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, headless=True, args=ARGUMENTS)
        yield started
        started.close()


@pytest.fixture
def complaints() -> list[str]:
    """What the browser complained of: errors of scripts, console errors and warnings, breaches of the content policy."""
    return []


@pytest.fixture
def context(browser, live_server, settings, complaints: list[str]) -> Iterator:
    """A tablet that has not signed in. The site's address is the server's own."""
    settings.SITE_URL = live_server.url
    made = browser.new_context(base_url=live_server.url, viewport=TABLET, has_touch=True, locale="en-GB")
    made.set_default_timeout(WAIT)
    made.on("console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None)
    made.on("weberror", lambda error: complaints.append(str(error.error)))
    yield made
    made.close()


@pytest.fixture
def page(context, complaints: list[str]) -> Iterator:
    """A page of that tablet; the test fails if the browser complained of anything (`complaints.clear()` forgives)."""
    yield context.new_page()
    assert complaints == []


@pytest.fixture(scope="session")
def kept_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the demo is kept once it was loaded: a test ends by emptying every table."""
    return tmp_path_factory.mktemp("demo") / "demo.sqlite3"


@pytest.fixture
def demo(live_server, kept_demo: Path) -> Site:
    """The invented institute, with a survey that is not finished."""
    institute.load(kept_demo)
    return Site.objects.get()


@pytest.fixture
def sign_in(live_server) -> Callable:
    """Sign in on a page as people do, and be led to where they were going."""

    def sign_in(page, person: Person, to: str = "/") -> None:
        page.goto(f"{reverse('account_login')}?next={to}")
        page.get_by_label("Email").fill(person.email)
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url(lambda url: "/sign-in/" not in url)

    return sign_in


@pytest.fixture
def prepared(hood, site, technician, programme_manager):
    """A hood with criteria and an instrument."""
    make_instrument(site, programme_manager, name="A-07")
    assign(hood, make_version(site, programme_manager, name="Laboratory hoods"), programme_manager)
    return hood


@pytest.fixture
def tablet(prepared, page, technician, sign_in) -> Tablet:
    sign_in(page, technician, f"{reverse('surveys:start')}?hood={prepared.tag}")
    page.get_by_role("button", name="Start the survey").click()
    page.wait_for_url(re.compile(r"/surveys/[0-9a-f-]{36}/"))
    return Tablet(page)
