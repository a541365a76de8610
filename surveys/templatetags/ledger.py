"""What every template may say: shapes, days, moments, heights in both units, sentences, and the pages one may open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from django import template
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import NoReverseMatch, reverse
from django.utils import timezone
from django.utils.dates import MONTHS_3, WEEKDAYS
from django.utils.formats import number_format
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from config import access
from hoods import words as hood_words
from surveys import wording
from surveys import words as survey_words
from surveys.core import units

register = template.Library()

#: The pages of the strip, in its order: view name and what it is called there.
PAGES = (
    ("home", _("What next")),
    ("surveys:room_list", _("Rooms")),
    ("surveys:hood_list", _("Hoods")),
    ("surveys:due_list", _("Due")),
    ("surveys:finding_list", _("Findings")),
    ("reports:year", _("Year")),
    ("surveys:instrument_list", _("Instruments")),
    ("surveys:criteria_list", _("Criteria")),
    ("hoods:people", _("People")),
    ("hoods:site", _("Site")),
)


@register.simple_tag
def shape(name: str, css_class: str = "shape") -> SafeString:
    """One of the shapes of static/shapes.svg, hidden from readers of the page's words."""
    return format_html(
        '<svg class="{}" aria-hidden="true"><use href="{}#{}"/></svg>', css_class, static("shapes.svg"), name
    )


@lru_cache(maxsize=1024)
def _drawn(template_name: str, language: str | None, **context: Any) -> SafeString:
    return SafeString(render_to_string(template_name, context).strip())


@register.simple_tag
def status_mark(status: Any) -> SafeString:
    """components/status.html, drawn once for each status and language: a list says the same few over and over."""
    return _drawn("components/status.html", get_language(), status=getattr(status, "code", status))


@register.simple_tag
def outcome_mark(outcome: str) -> SafeString:
    """components/outcome.html, drawn once for each outcome and language."""
    return _drawn("components/outcome.html", get_language(), outcome=outcome)


@register.simple_tag
def flag_marks(flags: tuple[Any, ...], grace: date | None = None) -> SafeString:
    """components/flags.html, drawn once for the same flags, day of grace and language; nothing without a flag."""
    return _drawn("components/flags.html", get_language(), flags=flags, grace=grace) if flags else SafeString()


@register.simple_tag
def sash_mark(sash: Any, kind: str) -> SafeString:
    """components/sash.html, drawn once for each height, kind of sash and language."""
    return _drawn("components/sash.html", get_language(), sash=sash, kind=kind)


@register.filter
def plain_day(on: date | str | None) -> str:
    """A day as it is printed: 12 MAR 2026."""
    if not on:
        return "–"
    if isinstance(on, str):
        on = date.fromisoformat(on)
    if isinstance(on, datetime):
        on = timezone.localtime(on).date()
    return f"{on.day} {str(MONTHS_3[on.month]).upper()} {on.year}"


@register.filter
def day(on: date | str | None) -> str | SafeString:
    """A day as it is printed, never broken over a line."""
    if not on:
        return "–"
    iso = on if isinstance(on, str) else plain_iso(on)
    return _day(iso, get_language())


@lru_cache(maxsize=4096)
def _day(iso: str, language: str | None) -> SafeString:
    return format_html('<time datetime="{}">{}</time>', iso, plain_day(iso))


def plain_iso(on: date) -> str:
    return timezone.localtime(on).date().isoformat() if isinstance(on, datetime) else on.isoformat()


@register.filter
def weekday(on: date | None) -> str:
    return str(WEEKDAYS[on.weekday()]) if on else ""


@register.filter
def month_name(on: date) -> str:
    """A month as a heading: MAR."""
    return str(MONTHS_3[on.month]).upper()


@register.filter
def moment(at: datetime | None, zone: str = "") -> str | SafeString:
    """A moment by the clock of the site that the page is about, or of a zone by name."""
    if not at:
        return "–"
    there = timezone.localtime(at, ZoneInfo(zone) if zone else None)
    return format_html('<time datetime="{}">{}, {}</time>', at.isoformat(), plain_day(there.date()), f"{there:%H:%M}")


@register.filter
def clock(at: datetime | None, zone: str = "") -> str:
    return f"{timezone.localtime(at, ZoneInfo(zone) if zone else None):%H:%M}" if at else ""


#: Small numbers are written out in running text.
NUMBER_WORDS = (
    _("none"), _("one"), _("two"), _("three"), _("four"), _("five"), _("six"), _("seven"), _("eight"), _("nine"),
    _("ten"), _("eleven"), _("twelve"),
)  # fmt: skip


@register.filter
def grouped(number: int) -> str:
    """A count as its reader groups it: 5,000."""
    return number_format(number, force_grouping=True)


@register.filter
def count_word(number: int) -> str:
    """A count in running text: in words up to twelve."""
    return str(NUMBER_WORDS[number]) if 0 <= number < len(NUMBER_WORDS) else grouped(number)


@register.filter
def tag_list(tags: Iterable[str]) -> SafeString:
    """Tags in a row, none of them broken over a line: FH-0142, FH-0143 and FH-0145."""
    marked = [format_html('<span class="tag">{}</span>', one) for one in tags]
    if len(marked) < 2:
        return marked[0] if marked else SafeString("")
    return format_html("{} {} {}", SafeString(", ".join(marked[:-1])), _("and"), marked[-1])


#: The lists of codes whose words a template may ask for.
WORDS: dict[str, Mapping[str, Any]] = {
    "kind": hood_words.KINDS,
    "control": hood_words.CONTROLS,
    "sash": hood_words.SASHES,
    "monitor": hood_words.MONITORS,
    "use": hood_words.USES,
    "event": hood_words.EVENTS,
    "glass": hood_words.GLASS,
    "reason": survey_words.REASONS,
    "ending": survey_words.STOP_REASONS | survey_words.PAUSE_REASONS,
    "notice": survey_words.NOTICES,
    "given_up": survey_words.GIVEN_UP,
}


@register.filter
def words(code: str, of: str) -> str:
    """The words of a code; a code without any is shown as it is."""
    return str(WORDS[of].get(code, code))


@register.filter
def explained_since(events: Iterable[Any], since: date) -> list[Any]:
    """What was said of why a survey is overdue, since it is, the last said first; `events` come newest first."""
    return [event for event in events if event.kind == "overdue-explained" and event.on >= since]


@register.filter
def sentence(message: Any) -> str:
    """A message of core as a sentence in the reader's language."""
    return wording.sentence(message)


@register.filter
def surveyed_by(survey: Any) -> str:
    """Who measured a signed survey, and who typed it in where it is from paper."""
    return wording.surveyed_by(survey)


@register.filter
def both_units(length: str | None) -> str:
    """A length as measured, its conversion rounded down beside it: 18 in (457 mm)."""
    try:
        return units.both(length) if length else "–"
    except ValueError:
        return str(length)


@register.filter
def both_nearest(length: str | None) -> str:
    """A length up to which nothing is opened, its conversion rounded to the nearest: 24 in (610 mm)."""
    try:
        return units.both(length, nearest=True) if length else "–"
    except ValueError:
        return str(length)


@register.filter
def measured(quantity: str) -> str:
    """A quantity as it was entered, its unit in words: 800 ft³/min."""
    try:
        return str(units.quantity(quantity)) if quantity else ""
    except ValueError:
        return quantity


@register.filter
def both_speeds(speed: str | None) -> str:
    """A velocity as measured, in the other unit beside it: 100 ft/min (0.51 m/s)."""
    try:
        return units.both(speed) if speed else "–"
    except ValueError:
        return str(speed)


@register.filter
def telephone(number: str) -> str:
    """A telephone number as an address takes it: digits and a leading plus alone."""
    digits = "".join(one for one in number if one.isdigit())
    return f"+{digits}" if number.strip().startswith("+") else digits


@register.filter
def linked(text: str, number: str) -> SafeString:
    """A site's own words with its telephone number to be pressed; where they lack the number it follows them."""
    if not number:
        return format_html("{}", text)
    link = format_html('<a href="tel:{}">{}</a>', telephone(number), number)
    before, found, after = text.partition(number)
    return format_html("{}{}{}", before, link, after) if found else format_html("{} {}", text, link)


@register.inclusion_tag("components/navigation.html", takes_context=True)
def navigation(context: template.Context) -> dict[str, Any]:
    """Links to the pages that this person's roles may open."""
    request = context.get("request")
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"links": []}
    links = []
    for view, name in PAGES:
        href = address(view)
        if href and may_open(request, view):
            links.append({"href": href, "name": name, "current": where(request.path, href)})
    return {"links": links}


def address(view: str) -> str:
    try:
        return reverse(view)
    except NoReverseMatch:
        return ""


def may_open(request: Any, view: str, method: str = "GET") -> bool:
    """Whether the table of access lets this request's person use a view."""
    allowed = access.ACCESS.get(view, {}).get(method, frozenset())
    site = getattr(request, "site", None)
    held = request.user.roles_at(site) if site and request.user.is_authenticated else frozenset()
    return bool(allowed & held) or bool(allowed & (access.ANY | access.PUBLIC))


def where(path: str, href: str) -> str:
    if path == href:
        return "page"
    return "true" if href != "/" and path.startswith(href) else ""


@register.simple_tag(takes_context=True)
def may(context: template.Context, view: str, method: str = "GET") -> bool:
    """Whether to show a link or a button: `{% may "surveys:post_stop" "POST" as may_stop %}`."""
    request = context.get("request")
    return request is not None and may_open(request, view, method)
