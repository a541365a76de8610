"""Every kind of page on a phone, a tablet held both ways and a desktop, light and dark: axe finds nothing, targets fit.

Axe takes its time, most of it for colours. So colours are looked at on two screens; and of pages that are drawn by the
same template the first is looked at on every screen, the others on one. Targets are measured everywhere. With
HOOD_LEDGER_AXE=whole everything is looked at everywhere.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from datetime import timedelta
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from django.test import Client
from django.urls import resolve, reverse
from django.utils import timezone

from config.access import ACCESS
from hoods.actions.people import disable_person, invite_person, renew_link
from hoods.models import Hood, Person, Role
from hoods.views.inventory_list import put_by
from surveys.actions.criteria import start_set
from surveys.models import CriteriaVersion, Draft, EarlierBatch, Survey
from surveys.views import earlier_import
from tests import pages
from tests.browser import institute

SCREENS = {"phone": (390, 844), "tablet": (820, 1180), "tablet on its side": (1180, 820), "desktop": (1440, 900)}
NOT_PAGES = {"reports:canopy_sign", "reports:label", "reports:certificate", "reports:stop_sign"}  # prints
NOT_PAGES |= {
    f"reports:year_{name}" for name in ("report", "months", "buildings", "averages", "table", "archive", "book")
}
NOT_PAGES |= {"reports:trend_drawing", "reports:trend_print"}  # drawings and files
NOT_PAGES |= {"reports:hood_blank", "reports:room_blank", "reports:certificates", "reports:label_outline"}
NOT_PAGES |= {f"reports:inventory{name}" for name in ("", "_book", "_template", "_template_book")}
NOT_PAGES |= {"reports:earlier_template", "reports:earlier_template_book"}
LEAD_BACK = {  # asked for by its address, each leads to the page that its form stands on
    "surveys:post_stop", "surveys:withdraw_stop", "surveys:hang_sign", "surveys:sign", "surveys:label_put_on",
    "surveys:arrange_finding", "surveys:close_finding",
}  # fmt: skip

RUN = """options => axe.run(document, options).then(found => found.violations.flatMap(
  rule => rule.nodes.map(node => `${rule.id}: ${node.target.join(" ")}: ${node.any.concat(node.all, node.none).map(one => one.message).join("; ")}`)))"""
WHOLE = os.environ.get("HOOD_LEDGER_AXE") == "whole"
OF_COLOUR = ["color-contrast", "link-in-text-block"]
SHAPES = {"resultTypes": ["violations"], "rules": {rule: {"enabled": False} for rule in OF_COLOUR}}
COLOURS = {"resultTypes": ["violations"], "runOnly": OF_COLOUR}
COLOURS_ON = (
    [(screen, scheme) for screen in SCREENS for scheme in ("light", "dark")]
    if WHOLE
    else [("phone", "dark"), ("desktop", "light")]
)

# Controls that are smaller than they may be. A link in running text is as high as its line.
SMALL = """least => {
  const running = link => {
    let line = link;
    if (getComputedStyle(line).display !== "inline") return false;
    while (getComputedStyle(line.parentElement).display === "inline") line = line.parentElement;
    return [...line.parentElement.childNodes].some(node => node !== line && node.nodeType === Node.TEXT_NODE && /\\w/.test(node.data));
  };
  const found = [];
  for (const control of document.querySelectorAll("a[href], button, input, select, textarea, summary")) {
    if (control.type === "hidden" || control.disabled) continue;
    const target = control.matches("[type=radio], [type=checkbox]") ? control.labels[0] || control : control;
    const box = target.getBoundingClientRect();
    const hidden = !target.checkVisibility({visibilityProperty: true}) || target.closest(".sr") !== null;
    const elsewhere = box.right + scrollX <= 0 || box.bottom + scrollY <= 0;
    if (hidden || elsewhere || (target.matches("a") && running(target))) continue;
    if (Math.min(box.width, box.height) < least - 0.5)
      found.push(`${target.outerHTML.slice(0, 90).replace(/\\s+/g, " ")}: ${Math.round(box.width)} x ${Math.round(box.height)}`);
  }
  return found;
}"""


@pytest.fixture
def keeper(demo) -> Person:
    """Somebody who may see every page: who keeps the programme and surveys too. With them, what the demo lacks:
    criteria that are a draft, and a person who may not sign in any more."""
    person = Person.objects.get(email=institute.EMAILS["programme-manager"])
    Role.objects.create(person=person, site=demo, role="technician", from_on=demo.today())
    made = {"by": person, "at": timezone.now()}
    start_set(site=demo, name="Teaching", starter="average-100-lowest-70", **made)
    gone = invite_person(
        site=demo,
        email="bo@skua.example",
        name="Bo Lindgren",
        initials="BL",
        role="auditor",
        from_on=demo.today(),
        **made,
    )
    disable_person(person=gone.person, why="has left", **made)
    return person


def kinds_of_page(keeper: Person) -> dict[str, tuple[str, str]]:
    """Address and template of each view that shows a page, found by following links; of some in several states."""
    client = Client()
    client.force_login(keeper)
    apart, states = _apart(keeper), dict(_states())
    found: dict[str, tuple[str, str]] = {}
    for address, response in pages.crawl(client, "/", *apart.values(), *states.values()):
        view = resolve(urlsplit(address).path).view_name if response.status_code == 200 else ""
        if view and view not in NOT_PAGES:
            found.setdefault(view, (address, response.templates[0].name or ""))
    found |= {name: (address, name) for name, address in apart.items()}
    return found | {name: (address, name.partition(" of ")[0]) for name, address in states.items()}


EARLIER = b"tag,measured on,result,opening 1 name,opening 1 average\nFH-0102,2024-02-01,pass,working,98 fpm\n"


def _apart(keeper: Person) -> dict[str, str]:
    """Pages that no link of another page leads to."""
    version = CriteriaVersion.objects.get(adopted_at=None)
    client = Client()
    client.force_login(keeper)
    listed = client.get(reverse("reports:inventory")).getvalue()
    link = renew_link(person=Person.objects.get(email=institute.EMAILS["auditor"]), by=keeper, at=timezone.now())
    return {
        "set_password": link,
        "hoods:import_shown": reverse(
            "hoods:import_shown", args=[put_by(keeper, version.set.site, "hoods.csv", listed)]
        ),
        "surveys:results_shown": reverse(
            "surveys:results_shown", args=[earlier_import.put_by(keeper, version.set.site, "older.csv", EARLIER)]
        ),
        "surveys:accept_results": reverse("surveys:accept_results", args=[EarlierBatch.objects.get().pk]),
        "surveys:find": reverse("surveys:find") + "?q=no-such-tag",
        "surveys:settle_checks": reverse("surveys:settle_checks", args=[version.pk]),
        "surveys:adopt_version": reverse("surveys:adopt_version", args=[version.pk]),
    }


def _states() -> Iterator[tuple[str, str]]:
    tags = {hood.tag: hood for hood in Hood.objects.all()}
    for tag in ("FH-0102", "FH-0103", "FH-0105", "FH-0109"):
        yield f"surveys:hood of {tag}", reverse("surveys:hood", args=[tags[tag].pk])
        yield f"public_hood of {tag}", reverse("public_hood", args=[tags[tag].code])
    yield "public_label", reverse("public_label", args=[tags["FH-0103"].code, 1])
    for tag in ("FH-0103", "FH-0105", "FH-0110"):
        survey = Survey.objects.filter(hood=tags[tag]).latest("record")
        yield f"surveys:detail of {tag}", reverse("surveys:detail", args=[survey.pk])
    superseded = Survey.objects.filter(amended_by__isnull=False).latest("record")
    yield "surveys:detail of a superseded survey", reverse("surveys:detail", args=[superseded.pk])
    draft = Draft.objects.open().get(hood=tags["FH-0109"])
    for view in ("detail", "review"):
        yield f"surveys:{view}", reverse(f"surveys:{view}", args=[draft.pk])
    yield "surveys:set_aside", reverse("surveys:set_aside", args=[draft.pk, draft.set_aside.get().pk])
    room = tags["FH-0101"].placement().room
    yield "surveys:room on no day", reverse("surveys:room", args=[room.pk]) + "?on=x"
    past = f"?on={room.building.site.today() - timedelta(days=300)}"
    yield "surveys:room on a past day", reverse("surveys:room", args=[room.pk]) + past
    yield "surveys:building on a past day", reverse("surveys:building", args=[room.building_id]) + past
    yield "surveys:hood of FH-0105 on a past day", reverse("surveys:hood", args=[tags["FH-0105"].pk]) + past
    yield "surveys:hood before it was there", reverse("surveys:hood", args=[tags["FH-0105"].pk]) + "?on=2001-01-01"
    yield "surveys:certificate_list of no year", reverse("surveys:certificate_list") + "?year=x"
    yield "nowhere", "/nowhere/"


SENT_AS_THEY_STAND = ("hoods:add_hood", "hoods:invite", "hoods:change_site", "surveys:start", "hoods:renew_link")


def audit(page, name: str, wrong: list[str], *, on: Iterable[str] = tuple(SCREENS), colours: bool = True) -> None:
    """Look at an open page on each screen, light and dark."""
    page.evaluate(AXE_SCRIPT)
    least = 48 if page.locator("body.entry").count() else 44
    for screen, (width, height) in SCREENS.items():
        page.set_viewport_size({"width": width, "height": height})
        wrong += [f"{name}, {screen}: {said}" for said in page.evaluate(SMALL, least)]
        if screen in on:
            wrong += [f"{name}, {screen}: {said}" for said in page.evaluate(RUN, SHAPES)]
        for scheme in ("light", "dark"):
            if colours and (screen, scheme) in COLOURS_ON:
                page.emulate_media(color_scheme=scheme)
                wrong += [f"{name}, {screen}, {scheme}: {said}" for said in page.evaluate(RUN, COLOURS)]


@pytest.mark.long
@pytest.mark.timeout(1800 if WHOLE else 600)
def test_e27_axe_finds_nothing_on_any_page_and_every_target_can_be_hit(keeper, page, live_server, complaints):
    kinds = kinds_of_page(keeper)
    shown = {view for view, methods in ACCESS.items() if "GET" in methods} - NOT_PAGES - LEAD_BACK - {"account_login"}
    assert shown - set(kinds) == set()
    page.context.add_cookies([institute.cookie_of(keeper, live_server.url)])
    wrong: list[str] = []
    drawn: set[str] = set()
    for name, (address, template) in kinds.items():
        page.goto(address)
        first = WHOLE or template not in drawn
        audit(page, name, wrong, on=SCREENS if first else ["phone"], colours=first or " of " in name)
        drawn.add(template)
        if name in SENT_AS_THEY_STAND:
            page.locator("main form button[type=submit]:visible").last.click()
            audit(page, f"{name}, sent as it stands", wrong, on=SCREENS if WHOLE else ["phone"])
    assert not wrong, "\n".join(wrong)
    # That a page was refused, or is not there, is written to the console by the browser itself.
    complaints[:] = [said for said in complaints if "status of 404" not in said and "status of 422" not in said]


@pytest.mark.long
@pytest.mark.timeout(600)
def test_e27_home_of_everybody_the_sign_in_and_what_opens_on_the_survey_page(demo, page, live_server, complaints):
    wrong: list[str] = []
    page.goto("/sign-in/")
    audit(page, "sign in", wrong)
    for role in institute.EMAILS:
        page.context.add_cookies([institute.cookie_of(role, live_server.url)])
        page.goto("/")
        audit(page, f"home of {role}", wrong)
        if role == "technician":
            page.goto(reverse("surveys:detail", args=[Draft.objects.open().get().pk]))
            page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true; })")
            audit(page, "survey, everything open", wrong)
    assert not wrong, "\n".join(wrong)


def test_control_axe_and_the_measure_of_targets_see_what_is_wrong(page, live_server):
    page.goto("/sign-in/")
    page.evaluate("""() => {
      document.querySelector("main").insertAdjacentHTML("beforeend", "<img src='/static/icon.svg'><button>x</button>");
      document.querySelector("main button:last-child").className = "small";
    }""")
    wrong: list[str] = []
    audit(page, "spoilt", wrong)
    assert any("image-alt" in said for said in wrong)
    page.evaluate("document.querySelector('button.small').getBoundingClientRect = () => new DOMRect(9, 9, 30, 60)")
    assert page.evaluate(SMALL, 44) != []
