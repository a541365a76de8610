"""The survey page from the server that serves it, with static files under hashed names: each module runs once, no page is at odds with itself."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.request
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from django.db import connection  # noqa: F401  (named in a mark)
from django.urls import reverse

from surveys.models import Draft
from tests.browser import institute

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 60  # [s] until the server answers


@pytest.fixture
def served(demo, tmp_path: Path, settings) -> Iterator[dict[str, str]]:
    """The demo as gunicorn serves it, from a copy of its database and from collected files: the cookie of its technician."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address = f"http://127.0.0.1:{port}"
    cookie = institute.cookie_of("technician", address)
    institute.keep(tmp_path / "demo.sqlite3")
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("HOOD_", "SITE_", "DJANGO_"))}
    env = clean | {
        "HOOD_LEDGER_DEMO": "1", "HOOD_LEDGER_DATABASE": str(tmp_path / "demo.sqlite3"), "DATABASE_URL": "",
        "HOOD_LEDGER_STATIC": str(tmp_path / "static"), "HOOD_LEDGER_SECRET_KEY": settings.SECRET_KEY, "SITE_URL": address,
    }  # fmt: skip
    manage = (sys.executable, "manage.py")
    for command in (("createcachetable",), ("collectstatic", "--no-input", "--verbosity=0")):
        subprocess.run((*manage, *command), cwd=ROOT, env=env, check=True, capture_output=True)
    server = subprocess.Popen(
        (sys.executable, "-m", "gunicorn", "--workers=2", f"--bind=127.0.0.1:{port}", "config.wsgi"), cwd=ROOT, env=env
    )
    try:
        _wait_for(address)
        yield cookie
    finally:
        server.terminate()
        server.wait(20)


def _wait_for(address: str) -> None:
    for _try in range(LONGEST * 5):
        try:
            urllib.request.urlopen(f"{address}/sign-in/", timeout=5)
            return
        except OSError:
            time.sleep(0.2)
    raise TimeoutError(address)


@pytest.mark.long
@pytest.mark.skipif("connection.vendor != 'sqlite'", reason="the demo is kept as a file of SQLite")
def test_each_module_is_loaded_once_and_a_burst_of_entries_is_never_at_odds_with_itself(served, browser):
    draft = Draft.objects.open().get()
    desk = browser.new_context(base_url=served["url"], locale="en-GB")
    desk.add_cookies([served])
    page = desk.new_page()
    asked: list[str] = []
    answers: list[int] = []
    page.on("request", lambda request: asked.append(urlsplit(request.url).path))
    page.on("response", lambda got: answers.append(got.status) if got.request.method == "POST" else None)
    page.goto(reverse("surveys:detail", args=[draft.pk]))
    page.wait_for_load_state("networkidle")

    scripts = Counter(path.rsplit("/", 1)[-1].split(".")[0] for path in asked if path.endswith(".js"))
    assert scripts["saving"] == scripts["moments"] == 1
    assert set(scripts.values()) == {1}, scripts

    answers.clear()
    for number in range(4):
        for cell in page.locator("input[id^=r0f-]").all():
            cell.fill(str(91 + number))
            cell.press("Enter")
    page.wait_for_load_state("networkidle")
    assert set(answers) == {200}
    desk.close()
