"""Conventions of pages: no style, script or number box in a template, every word translated, nothing from another host."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django import forms

from tests.files import DRAWINGS, ROOT, SCRIPTS, STYLES, TEMPLATES, name

_COMMENTS = re.compile(r"\{#.*?#\}|\{%\s*comment\b.*?%\}.*?\{%\s*endcomment\s*%\}|<!--.*?-->", re.DOTALL)
_TRANSLATED = re.compile(r"\{%\s*blocktrans(?:late)?\b.*?%\}.*?\{%\s*endblocktrans(?:late)?\s*%\}", re.DOTALL)
_TAGS = re.compile(r"\{%.*?%\}|\{\{.*?\}\}", re.DOTALL)
_CODES = re.compile(r"\{%\s*block \w+_class\s*%\}.*?\{%\s*endblock.*?%\}", re.DOTALL)  # goes into class=
_WORD = re.compile(r"[^\W\d_]{2,}")
READ_ALOUD = {"alt", "aria-label", "aria-description", "title", "placeholder", "value"}
NOT_WORDS = {"code", "kbd"}  # what stands in them is the same in every language


def without_comments(source: str) -> str:
    return _COMMENTS.sub(" ", source)


class Page(HTMLParser):
    """Reads a template, or a page that was rendered from one, and keeps what the rules below ask about."""

    def __init__(self, source: str) -> None:
        super().__init__(convert_charrefs=True)
        self.breaches: list[str] = []
        self.words: list[str] = []
        self._open: list[str] = []
        source = _CODES.sub(" ", _TRANSLATED.sub(" ", without_comments(source)))
        self.feed(_TAGS.sub(" ", source))
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {key: value or "" for key, value in attrs}
        line = self.getpos()[0]
        if tag == "style" or "style" in given:
            self.breaches.append(f"line {line}: a style in the page; put it into static/")
        if tag == "script":
            self.breaches += [] if "src" in given else [f"line {line}: a script in the page; put it into static/"]
        if given.get("type", "").lower() == "number":
            self.breaches.append(f"line {line}: type=number repairs what is typed in silence; use inputmode=decimal")
        for key, value in given.items():
            if key.startswith("on"):
                self.breaches.append(f"line {line}: {key}= is a script in the page")
            if value.strip().lower().startswith(("javascript:", "data:")):
                self.breaches.append(f"line {line}: {key}= holds an address that is a script or data")
        shown = {"value"} if tag == "input" and given.get("type") in ("submit", "button", "reset") else set()
        for key in (READ_ALOUD - {"value"} | shown) & set(given):
            self.words += [f"line {line}: {key}={word}" for word in _WORD.findall(given[key])]
        if tag not in ("input", "img", "meta", "link", "br", "hr", "use", "wbr", "source", "col", "path"):
            self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in self._open:
            while self._open.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        if not NOT_WORDS & set(self._open):
            self.words += [f"line {self.getpos()[0]}: {word}" for word in _WORD.findall(data)]


ALL_TEMPLATES = pytest.mark.parametrize("path", TEMPLATES, ids=name)


@ALL_TEMPLATES
def test_e3_a15_a_template_holds_no_script_style_or_number_box(path: Path) -> None:
    assert Page(path.read_text(encoding="utf-8")).breaches == []


@ALL_TEMPLATES
def test_every_word_of_a_template_can_be_translated(path: Path) -> None:
    assert Page(path.read_text(encoding="utf-8")).words == [], "wrap it in translate or blocktranslate"


BREACHES = [
    # markup, what is said
    ('<input type="number" name="a">', "type=number"),
    ("<input type=NUMBER>", "type=number"),
    ('<p style="color:red"></p>', "a style"),
    ("<style>p{}</style>", "a style"),
    ("<script>go()</script>", "a script"),
    ("<button onclick='go()'></button>", "onclick="),
    ('<a href="javascript:go()"></a>', "a script or data"),
    ('<img src="data:image/png;base64,AA" alt="">', "a script or data"),
]


@pytest.mark.parametrize(("markup", "said"), BREACHES)
def test_a_breach_in_a_template_is_seen(markup: str, said: str) -> None:
    assert said in " ".join(Page(f"{{% extends 'base.html' %}}<main>{markup}</main>").breaches)


def test_what_is_no_breach_is_let_through() -> None:
    assert Page('<script src="{% static "a.js" %}" type="module"></script><input inputmode="decimal">').breaches == []
    assert Page('{# <style> #}{% comment %}<p onclick="x">{% endcomment %}<!-- type="number" -->').breaches == []


UNTRANSLATED = [
    ("<p>Hood</p>", "Hood"),
    ('<p aria-label="Hood"></p>', "aria-label=Hood"),
    ('<img alt="Hood {{ tag }}">', "alt=Hood"),
    ('<input type="submit" value="Save">', "value=Save"),
    ("<p>{{ tag }} met</p>", "met"),
]


@pytest.mark.parametrize(("markup", "said"), UNTRANSLATED)
def test_a_word_that_cannot_be_translated_is_seen(markup: str, said: str) -> None:
    assert said in " ".join(Page(markup).words)
    assert Page('{% block body_class %}entry{% endblock %}<button value="undo"></button>').words == []
    assert Page('<p>{% translate "Hood" %} · {{ tag }}: 18</p>{% blocktranslate %}a{% endblocktranslate %}').words == []


def form_classes() -> list[type[forms.BaseForm]]:
    """Every form class of the project, found by importing every module of every forms package."""
    found: set[type[forms.BaseForm]] = set()
    for app in ("hoods", "surveys", "reports"):
        if not (ROOT / app / "forms").is_dir():
            continue
        package = importlib.import_module(f"{app}.forms")
        inner = [module.name for module in pkgutil.walk_packages(package.__path__, f"{app}.forms.")]
        for module in [package, *map(importlib.import_module, inner)]:
            found |= {
                made
                for _, made in inspect.getmembers(module, inspect.isclass)
                if issubclass(made, forms.BaseForm) and made.__module__.startswith(f"{app}.")
            }
    return sorted(found, key=lambda form: (form.__module__, form.__name__))


def number_boxes(form: type[forms.BaseForm]) -> list[str]:
    fields = getattr(form, "base_fields", {})
    return [key for key, field in fields.items() if getattr(field.widget, "input_type", "") == "number"]


def test_e3_no_form_draws_a_number_box() -> None:
    found = {f"{form.__module__}.{form.__name__}": number_boxes(form) for form in form_classes()}
    assert {form: boxes for form, boxes in found.items() if boxes} == {}, (
        "give the field a TextInput, inputmode=numeric"
    )


def test_e3_a_number_box_of_a_form_is_seen() -> None:
    class Counted(forms.Form):
        number = forms.IntegerField()
        text = forms.IntegerField(widget=forms.TextInput)

    assert number_boxes(Counted) == ["number"]


# --- hosts, machines ----------------------------------------------------------------------------------------------------

_HOST = re.compile(r"(?:https?:)?//[\w.-]+\.\w+", re.IGNORECASE)
NAMESPACES = ("http://www.w3.org", "https://www.w3.org")


def outside_hosts(source: str) -> list[str]:
    return [host for host in _HOST.findall(source) if not host.startswith(NAMESPACES)]


@pytest.mark.parametrize("path", [*TEMPLATES, *SCRIPTS, *STYLES, *DRAWINGS], ids=name)
def test_nothing_is_fetched_from_another_host(path: Path) -> None:
    assert outside_hosts(path.read_text(encoding="utf-8")) == []


def test_another_host_is_seen() -> None:
    assert outside_hosts('<link href="//fonts.other.example/face.css">') == ["//fonts.other.example"]
    assert outside_hosts("@import url(https://other.example/a.css)") == ["https://other.example"]
    assert outside_hosts('<svg xmlns="http://www.w3.org/2000/svg">// a comment, and a.b</svg>') == []


_WRITES_MARKUP = re.compile(
    r"\.(?:inner|outer)HTML\s*\+?=(?!=)|insertAdjacentHTML|document\.write|\beval\(|new Function\b"
)
_NUMBER_BOX = re.compile(r"""type\s*[=:,]\s*["']number["']|["']type["']\s*,\s*["']number["']""")


def why_not_script(source: str) -> list[str]:
    return _WRITES_MARKUP.findall(source) + _NUMBER_BOX.findall(source)


@pytest.mark.parametrize("path", SCRIPTS, ids=name)
def test_e3_no_script_makes_a_number_box_or_writes_markup(path: Path) -> None:
    assert why_not_script(path.read_text(encoding="utf-8")) == []


def test_e3_a_script_that_does_is_seen() -> None:
    for source in (
        "box.innerHTML = typed", "box.outerHTML += typed", "document.write(typed)", "eval(typed)",
        'box.type = "number"', "box.setAttribute('type', 'number')",
    ):  # fmt: skip
        assert why_not_script(source), source
    assert why_not_script('if (old.innerHTML === part.innerHTML || typeof x === "number") return;') == []
