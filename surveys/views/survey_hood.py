"""Which hood a survey is of, as the first part of its page says it."""

from __future__ import annotations

from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from hoods.words import CONTROLS, KINDS, SASHES
from surveys import queries, words
from surveys.core.criteria import Criteria
from surveys.core.status import Status
from surveys.core.units import both
from surveys.facts import Around
from surveys.models import Draft
from surveys.wording import sentence

MEANS = {
    "met-criteria": gettext_lazy("That holds until this survey is signed."),
    "restricted": gettext_lazy("That holds until this survey is signed."),
    "do-not-use": gettext_lazy("It may be surveyed, and stays barred until a survey ends pass or restrict."),
    "not-surveyed": gettext_lazy("It may be surveyed. Nobody works at it until a survey ends pass or restrict."),
    "out-of-service": gettext_lazy(
        "It may be surveyed and the survey signed; that does not bring it back. It gets no label before it is brought "
        "back on its page."
    ),
}
OVERTAKEN = {
    "met-criteria": gettext_lazy("This survey was measured before what holds today, and changes nothing of it."),
    "do-not-use": gettext_lazy("This survey was measured before what bars the hood: it lifts nothing of that."),
}


class AboutHood:
    """The hood of a draft: what it is, where it stands, what is known of it."""

    draft: Draft
    around: Around
    criteria: Criteria

    @property
    def hood(self) -> Any:
        return self.draft.hood

    @property
    def site(self) -> Any:
        return self.hood.site

    @property
    def has_sash(self) -> bool:
        """Whether anything can be set, stopped or closed; else its front stands open."""
        return bool(self.hood.sash != "none")

    @property
    def zone(self) -> str:
        return self.site.time_zone

    @cached_property
    def placement(self) -> Any:
        return self.around.place()

    @property
    def where(self) -> str:
        if self.placement is None:
            return str(CONTROLS.get(self.hood.control, self.hood.control))
        room = self.placement.room
        return _("%(building)s, room %(room)s · %(control)s") % {
            "building": room.building.name, "room": room.number,
            "control": CONTROLS.get(self.hood.control, self.hood.control),
        }  # fmt: skip

    @property
    def stands(self) -> str:
        if self.placement is None:
            return ""
        room = self.placement.room
        stands = _("in %(building)s, room %(room)s") % {"building": room.building.name, "room": room.number}
        if room.name:
            stands += f" ({room.name})"
        return stands + (f", {self.placement.position}." if self.placement.position else ".")

    @property
    def kind(self) -> str:
        parts = [KINDS.get(self.hood.kind, self.hood.kind), CONTROLS.get(self.hood.control, self.hood.control)]
        parts.append(
            _("%(sash)s sash") % {"sash": SASHES.get(self.hood.sash, self.hood.sash)} if self.has_sash
            else _("no sash: an open front that cannot be closed")
        )
        if self.hood.interior_width:
            parts.append(_("%(width)s wide inside") % {"width": both(self.hood.interior_width, nearest=True)})
        text = ", ".join(str(part) for part in parts)
        return text[:1].upper() + text[1:]

    @property
    def registered(self) -> str:
        return "; ".join(
            f"{opening.name}: {both(opening.height, nearest=self.hood.sash == 'none')}" if opening.height else opening.name
            for opening in self.around.openings
        ) or _("none")

    @cached_property
    def last(self) -> Any:
        """The survey before this one."""
        return max(self.around.earlier, key=lambda survey: (survey.measured_until, survey.record_id), default=None)

    @cached_property
    def stops(self) -> list[Any]:
        stops = list(self.hood.stops.up())
        for stop in stops:
            stop.reason_words = words.STOP_REASONS.get(stop.reason, stop.reason)
        return stops

    @property
    def may_lift(self) -> list[Any]:
        """What is posted that this survey can lift: of what was measured before, only what hung by then."""
        paper, corrects = self.draft.from_paper, self.draft.amends if self.draft.corrects else None
        measured_at = paper.measured_at if paper else corrects.measured_from if corrects else None
        return [stop for stop in self.stops if measured_at is None or stop.at < measured_at]

    @property
    def is_overtaken(self) -> bool:
        """Whether this survey is from paper and older than what holds of the hood today, so that it changes none of that."""
        if self.draft.from_paper is None:
            return False
        now, day = self.stands_today, self.draft.done_on
        if now.code == "do-not-use":
            failed = [reason.values["on"] for reason in now.reasons if reason.code.endswith("-failed")]
            return len(self.may_lift) < len(self.stops) or any(on > day.isoformat() for on in failed)
        return now.grants and now.since is not None and now.since > day

    @cached_property
    def stands_today(self) -> Status:
        """The status of the hood today, whatever this survey will find."""
        return queries.status_of(self.hood, self.site.today())

    @property
    def why_it_stands_so(self) -> list[str]:
        return [sentence(reason) for reason in self.stands_today.reasons]

    @property
    def what_that_means(self) -> str:
        """What the status of today means for the survey and for whoever makes it; empty where another notice says it."""
        if self.is_overtaken:
            return str(OVERTAKEN["do-not-use" if self.stands_today.code == "do-not-use" else "met-criteria"])
        if self.stands_today.code == "do-not-use" and self.stops:
            return _("It may be surveyed. What is posted is lifted by a survey that ends pass or restrict, once its sign is down.")
        return str(MEANS.get(self.stands_today.code, ""))

    @property
    def version(self) -> str:
        return str(self.draft.version)

    @property
    def least_height(self) -> str:
        return both(str(self.criteria.least_height))
