"""Pages as tests read them: their links and forms, a walk along every link, and the whole database as text."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin, urlsplit

from django.db import connection
from django.http import HttpResponse
from django.test import Client

NOT_STATE = {
    "django_session",
    "cache",
    "django_migrations",
    "sqlite_sequence",
}  # who has signed in is no state of the ledger


@dataclass
class Form:
    """A form as it stands in a page: where it is sent, and what it would send untouched."""

    action: str
    method: str
    values: dict[str, list[str]] = field(default_factory=dict)
    choices: dict[str, list[str]] = field(default_factory=dict)  # of each list and radio group


class Page(HTMLParser):
    def __init__(self, html: str, address: str) -> None:
        super().__init__(convert_charrefs=True)
        self.address = address
        self.links: list[str] = []
        self.forms: list[Form] = []
        self.breaches: list[str] = []
        self._form: Form | None = None
        self._select = self._area = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attributes}
        self._look_for_own_code(tag, given)
        if tag == "a" and given.get("href"):
            self.links.append(urldefrag(urljoin(self.address, given["href"])).url)
        elif tag == "form":
            action = urljoin(self.address, given.get("action") or self.address)
            self._form = Form(action, given.get("method", "get").upper())
            self.forms.append(self._form)
        elif self._form is not None and tag in ("input", "select", "textarea", "option", "button"):
            self._enter(self._form, tag, given)

    def _look_for_own_code(self, tag: str, given: dict[str, str]) -> None:
        if tag == "style" or "style" in given:
            self.breaches.append(f"<{tag}> has a style of its own")
        if tag == "script" and "src" not in given:
            self.breaches.append("a script of its own")
        self.breaches += [f"<{tag} {name}>" for name in given if name.startswith("on")]
        for name in ("href", "src", "action"):
            if urlsplit(given.get(name, "")).scheme not in ("", "http", "https", "mailto", "tel"):
                self.breaches.append(f"<{tag} {name}={given[name][:20]}>")

    def _enter(self, form: Form, tag: str, given: dict[str, str]) -> None:
        name, kind = given.get("name", ""), given.get("type", "text")
        if tag == "select":
            self._select = name
            form.choices.setdefault(name, [])
        elif tag == "option":
            form.choices[self._select].append(given.get("value", ""))
            if "selected" in given:
                form.values.setdefault(self._select, []).append(given.get("value", ""))
        elif tag == "textarea":
            self._area = name
            form.values[name] = [""]
        elif tag == "input" and name and kind in ("radio", "checkbox"):
            form.choices.setdefault(name, []).append(given.get("value", "on"))
            if "checked" in given:
                form.values.setdefault(name, []).append(given.get("value", "on"))
        elif tag == "input" and name and kind not in ("submit", "button", "file"):
            form.values[name] = [given.get("value", "")]

    def handle_data(self, data: str) -> None:
        if self._form is not None and self._area:
            self._form.values[self._area][0] += data.removeprefix("\n")

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        elif tag == "select":
            self._close_select()
        elif tag == "textarea":
            self._area = ""

    def _close_select(self) -> None:
        if self._form is not None and self._form.choices.get(self._select):
            self._form.values.setdefault(self._select, self._form.choices[self._select][:1])
        self._select = ""


def body(response: HttpResponse) -> bytes:
    return b"".join(response) if response.streaming else response.content


def is_page(response: HttpResponse) -> bool:
    return response.headers.get("Content-Type", "").startswith("text/html")


def page(response: HttpResponse) -> Page:
    return Page(body(response).decode(), response.request["PATH_INFO"])


def crawl(
    client: Client, *starts: str, at_most: int = 2000, secure: bool = False
) -> Iterator[tuple[str, HttpResponse]]:
    """Every address of this site that links lead to, each asked for once, with its answer."""
    waiting, met = deque(starts or ("/",)), set(starts or ("/",))
    while waiting:
        assert len(met) < at_most, "links without an end"
        address = waiting.popleft()
        response = client.get(address, secure=secure)
        yield address, response
        found = page(response).links if is_page(response) else []
        if "Location" in response.headers:
            found = [urljoin(address, response.headers["Location"])]
        for link in found:
            if (
                urlsplit(link).netloc in ("", "testserver")
                and not link.startswith(("mailto:", "tel:"))
                and link not in met
            ):
                met.add(link)
                waiting.append(link)


def everything() -> dict[str, list[tuple]]:
    """The rows of every table, as text to be compared."""
    rows: dict[str, list[tuple]] = {}
    with connection.cursor() as cursor:
        for table in sorted(set(connection.introspection.table_names(cursor)) - NOT_STATE):
            cursor.execute(f'SELECT * FROM "{table}" ORDER BY 1')
            rows[table] = [tuple(map(str, row)) for row in cursor.fetchall()]
    return rows


def changed(before: dict[str, list[tuple]], after: dict[str, list[tuple]]) -> list[str]:
    """Names of the tables whose rows differ."""
    return [table for table in before if before[table] != after[table]]
