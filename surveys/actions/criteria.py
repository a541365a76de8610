"""Criteria: start a set, change a draft of it, adopt it. An adopted version never changes; a new one takes its place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from importlib.metadata import version as release
from typing import Any

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions import keeping
from hoods.actions.refusal import Refused
from hoods.models import Entry, Hood, Person, Site
from surveys import words
from surveys.actions.records import FORMAT, append_record, next_number
from surveys.core.adoption import why_not_adopt
from surveys.core.criteria import Criteria
from surveys.core.due import MOST_MONTHS, asks_too_seldom
from surveys.core.messages import Problem
from surveys.core.record import canonical, sha256_hex
from surveys.core.starters import STARTERS, nothing
from surveys.models import CriteriaSet, CriteriaVersion
from surveys.rejudging import judged_by_set

NOT_ASKED = "not-asked"
EMPTY, LAST = "empty", "last"  # what a draft may be made from, besides a set to start from and the version in force
IN_FORCE = "in-force"


class SetNameTaken(Refused):
    said = _("A set of this name is here already: choose another name.")
    field = "name"


class Adopted(Refused):
    said = _("This version is adopted and never changes: start a new version.")


class FirstDayPast(Refused):
    said = _("The first day is past: write today or a later day.")
    field = "first_day"


class AsksTooSeldom(Refused):
    """The set judges hoods that are usually surveyed sooner, and nobody wrote why they are not."""

    field = "seldom"

    def __init__(self, hoods: Sequence[Hood]):
        super().__init__(
            _(
                "By this version %(hoods)s would be surveyed later than every %(months)s months, as a radioisotope hood "
                "usually is: write why that is enough, or put the months right in the draft."
            )
            % {"hoods": ", ".join(hood.tag for hood in hoods), "months": MOST_MONTHS[hoods[0].kind]}
        )


class AdoptedUnseen(Refused):
    said = _("This draft was changed since you saw it: read it again.")


class DraftChanged(Refused):
    """The draft is not what the form was made from; what is kept now, and what was sent, are shown beside one another."""

    said = _("This draft was changed from another page since this one was opened. Nothing of yours is kept yet.")

    def __init__(self, version: CriteriaVersion):
        super().__init__()
        self.version = version


class NotAdoptable(Refused):
    """The version cannot be adopted as it is; each problem says where and why."""

    said = _("This version cannot be adopted yet.")

    def __init__(self, problems: Sequence[Problem]):
        super().__init__()
        self.problems = tuple(problems)


@transaction.atomic
def start_set(
    *, site: Site, name: str, by: Person, at: datetime, starter: str = EMPTY, words: str = ""
) -> CriteriaVersion:  # fmt: skip
    """Starts a set of criteria: a first draft made from a starter set or from nothing, to be compared with the local rules."""
    keeping.one_of((*STARTERS, EMPTY), starter, "starter")
    criteria_set = CriteriaSet(site=site, name=name, words=words)
    keeping.add(criteria_set, refusal=SetNameTaken, action="criteria-set-started", by=by, at=at)
    document, starter = _begun(starter)
    return CriteriaVersion.objects.create(set=criteria_set, number=1, content=_text(document), starter=starter)


def _begun(origin: str) -> tuple[dict[str, Any], str]:
    """The document of a starter set, or of nothing, and the code that a version keeps of where it began."""
    return (nothing(), "") if origin == EMPTY else (STARTERS[origin].document, origin)


@transaction.atomic
def start_version(
    *, set: CriteriaSet, by: Person, at: datetime, why: str = "", origin: str = LAST
) -> CriteriaVersion:  # fmt: skip
    """Starts the next version of a set as a draft: from the last version, the one in force, a starter set, or nothing."""
    keeping.one_of((LAST, IN_FORCE, EMPTY, *STARTERS), origin, "origin")
    set = CriteriaSet.objects.select_for_update().get(pk=set.pk)
    last = set.versions.order_by("-number").first()
    if last is None or last.adopted_at is None:
        raise Refused(_("This set has a draft already: go on with it."))
    if origin in (LAST, IN_FORCE):
        source = last if origin == LAST else set.in_force(set.site.day_of(at))
        if source is None:
            raise Refused(_("No version of this set is in force yet: begin from another."), field="origin")
        content, starter = source.content, source.starter
    else:
        document, starter = _begun(origin)
        content = _text(document)
    draft = CriteriaVersion.objects.create(set=set, number=last.number + 1, content=content, starter=starter)
    Entry.objects.add(
        by=by, at=at, action="criteria-version-started", what=set, after={"number": draft.number}, why=why
    )
    return draft


@transaction.atomic
def change_draft(
    *, version: CriteriaVersion, document: Mapping[str, Any], by: Person, at: datetime, why: str = "",
    seen: str | None = None,
) -> CriteriaVersion:  # fmt: skip
    """Keeps another criteria document as the draft.

    `seen` is the SHA-256 of the content that the change was made from: a draft that was changed meanwhile is left as it
    is, and the one who asks is told. The same content again changes nothing.
    """
    version = _locked_draft(version)
    Criteria.from_dict(dict(document))  # raises WrongShape: what has no shape is no draft either
    content = _text(document)
    if content == version.content:
        return version
    if seen is not None and seen != content_hash(version):
        raise DraftChanged(version)
    before, version.content = version.document, content
    version.save(update_fields=["content"])
    Entry.objects.add(
        by=by, at=at, action="criteria-draft-changed", what=version.set, before={"number": version.number, **before},
        after={"number": version.number, **version.document}, why=why,
    )  # fmt: skip
    return version


def settle_checks(
    *, version: CriteriaVersion, costs: Mapping[str, tuple[str, str]], by: Person, at: datetime
) -> CriteriaVersion:
    """Decides what each check costs when it is not met: (consequence, restriction); `not-asked` leaves it out."""
    return change_draft(version=version, document=settled(version, costs), by=by, at=at)


def asked_or_offered(version: CriteriaVersion) -> list[dict[str, Any]]:
    """The checks of a draft, and those of the starter that the draft leaves out."""
    asked = version.document["checks"]
    known = {check["check"] for check in asked}
    starter = STARTERS.get(version.starter)
    offered = starter.document["checks"] if starter else []
    return [*asked, *({**check, "consequence": NOT_ASKED} for check in offered if check["check"] not in known)]


def settled(version: CriteriaVersion, costs: Mapping[str, tuple[str, str]]) -> dict[str, Any]:
    """The document of a draft with other costs of its checks."""
    checks = []
    for check in asked_or_offered(version):
        consequence, restriction = costs.get(check["check"], (check["consequence"], check.get("restriction") or ""))
        keeping.one_of(words.COSTS, consequence, f"cost-{check['check']}")
        if consequence == NOT_ASKED:
            continue
        kept = {key: value for key, value in check.items() if key != "restriction"}
        if consequence == "restrict":
            kept["restriction"] = restriction
        checks.append({**kept, "consequence": consequence})
    return {**version.document, "checks": checks}


@transaction.atomic
def adopt_version(
    *, version: CriteriaVersion, first_day: date, reason: str, by: Person, at: datetime, seen: str | None = None,
    seldom: str = "",
) -> CriteriaVersion:  # fmt: skip
    """Adopts a version from a day on, for ever, and keeps it word for word as a record.

    `seen` is the SHA-256 of the content that was read: nobody adopts what they have not seen. `seldom` says why hoods
    that are usually surveyed sooner are not.
    """
    version = _locked_draft(version)
    if seen is not None and seen != content_hash(version):
        raise AdoptedUnseen()
    site = version.set.site
    if first_day < site.day_of(at):
        raise FirstDayPast()
    if problems := why_not_adopt(Criteria.from_dict(version.document)):
        raise NotAdoptable(problems)
    if (late := surveyed_late(version, site.day_of(at))) and not seldom.strip():
        raise AsksTooSeldom(late)
    number, version.seldom = next_number(), seldom
    content = attested(version, number=number, first_day=first_day, reason=reason, by=by, at=at)
    version.record = append_record(kind="criteria", content=content, at=at, number=number)
    version.first_day, version.reason, version.adopted_at, version.adopted_by = first_day, reason, at, by
    version.save()
    Entry.objects.add(
        by=by, at=at, action="criteria-adopted", what=version.set, why=reason,
        after={"number": version.number, "first_day": first_day.isoformat(), "record": number},
    )  # fmt: skip
    return version


def surveyed_late(version: CriteriaVersion, on: date) -> list[Hood]:
    """The hoods that the set judges, on a day or from a later one, which are usually surveyed sooner than this version asks."""
    hoods = judged_by_set(Hood.objects.filter(site=version.set.site, kind__in=MOST_MONTHS), version.set, on)
    return [hood for hood in hoods.order_by("tag") if asks_too_seldom(hood.kind, version.document["due"])]


def content_hash(version: CriteriaVersion) -> str:
    return sha256_hex(version.content.encode("utf-8"))


def attested(
    version: CriteriaVersion, *, number: int, first_day: date, reason: str, by: Person, at: datetime
) -> dict[str, Any]:
    """What the record of an adopted version holds."""
    site = version.set.site
    return {
        "kind": "criteria",
        "format": FORMAT,
        "number": number,
        "site": {"name": site.name, "time_zone": site.time_zone},
        "criteria": {
            "set": version.set.name, "version": version.number, "first_day": first_day.isoformat(),
            "starter": version.starter or None, "document": version.document,
        },
        "reason": reason,
        **({"seldom": version.seldom} if version.seldom else {}),
        "signed": {
            "by": {"name": by.name, "initials": by.initials, "position": by.position, "employer": by.employer},
            "meaning": "adopted-these-criteria", "at": at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"), "zone": site.time_zone,
        },
        "program": release("hood-ledger"),
    }  # fmt: skip


def _locked_draft(version: CriteriaVersion) -> CriteriaVersion:
    locked = CriteriaVersion.objects.select_for_update(of=("self",)).select_related("set__site").get(pk=version.pk)
    if locked.adopted_at is not None:
        raise Adopted()
    return locked


def _text(document: Mapping[str, Any]) -> str:
    return canonical(dict(document)).decode("utf-8")
