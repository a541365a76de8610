"""Who was told what, and whether the mail went out. Rows are only ever added."""

from __future__ import annotations

from datetime import date

from django.db import models

from hoods.models import Hood, HoodEvent, Person, Role, Site
from hoods.models.people import PROGRAMME_MANAGER
from surveys.models.earlier import EarlierChange
from surveys.models.stop import Stop
from surveys.models.survey import Survey

#: What somebody is told of as a person: such a notice is of no hood.
INVITATIONS = ("invited", "link-made")
#: What is told of all hoods at once that it is about: one mail to each person, however many they are.
APPROVAL_ENDED, EARLIER_ACCEPTED, EARLIER_WITHDRAWN = "approval-ended", "earlier-accepted", "earlier-withdrawn"
OF_MANY = (APPROVAL_ENDED, EARLIER_ACCEPTED, EARLIER_WITHDRAWN)

#: A notice is kept with the address that it was made for; where that was mended since, another one was made.
SAME_ADDRESS = models.Q(address=models.F("to__email"))
STILL_TO_BE_TOLD = models.Q(to__is_active=True, has_role=True) & SAME_ADDRESS


class NoticeQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> NoticeQuerySet:
        """Those of a hood that somebody sees; invitations, and what is of many hoods, are the programme manager's."""
        managed = [site for site, roles in person.standing.roles.items() if PROGRAMME_MANAGER in roles]
        hoods = Hood.objects.visible_to(person).order_by().values("pk")
        return self.filter(models.Q(hood__in=hoods) | models.Q(hood__isnull=True, site__in=managed))

    def waiting(self, on: date) -> NoticeQuerySet:
        """To be sent still, whether or not it was tried: those not sent that are not given up."""
        return self._judged(on).exclude(tries__sent=True).filter(STILL_TO_BE_TOLD)

    def given_up(self, on: date) -> NoticeQuerySet:
        """Never to be sent: to somebody who cannot sign in or has no role at the site any more.

        What was made for an address that was mended since is in the mail that was made for the new one.
        """
        return self._judged(on).exclude(tries__sent=True).filter(SAME_ADDRESS).exclude(STILL_TO_BE_TOLD)

    def _judged(self, on: date) -> NoticeQuerySet:
        """Adds what says whether each may still be sent on a day."""
        held = Role.objects.filter(person=models.OuterRef("to"), site=models.OuterRef("site")).exclude(until_on__lt=on)
        return self.annotate(has_role=models.Exists(held))

    def with_why_given_up(self, on: date) -> NoticeQuerySet:
        """Adds `why_given_up`, a code; empty where it may be sent. What was sent was sent all the same."""
        return self._judged(on).annotate(
            why_given_up=models.Case(
                models.When(to__is_active=False, then=models.Value("disabled")),
                models.When(has_role=False, then=models.Value("no-role")),
                models.When(~SAME_ADDRESS, then=models.Value("other-address")),
                default=models.Value(""),
            )
        )


class Notice(models.Model):
    """One mail to one person, kept until it is sent. Its words are made when it is sent: an invitation holds no link."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="notices")
    to = models.ForeignKey(Person, models.PROTECT, related_name="notices")
    address = models.EmailField()  # as it was when the notice was made
    kind = models.CharField(max_length=20)  # as in surveys/words.py, NOTICES
    hood = models.ForeignKey(Hood, models.PROTECT, null=True, related_name="notices")  # none: of no hood, or of many
    stop = models.ForeignKey(Stop, models.PROTECT, null=True, related_name="notices")
    survey = models.ForeignKey(Survey, models.PROTECT, null=True, related_name="notices")
    event = models.ForeignKey(HoodEvent, models.PROTECT, null=True, related_name="notices")  # the first of its act
    earlier = models.ForeignKey(EarlierChange, models.PROTECT, null=True, related_name="notices")
    role = models.CharField(max_length=40, blank=True)  # as what they are told: lab-manager, programme-manager
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")

    objects = NoticeQuerySet.as_manager()

    class Meta:
        ordering = ["at", "pk"]
        indexes = [models.Index(fields=["hood", "at"], name="notice_hood")]

    @property
    def hoods(self) -> models.QuerySet[Hood]:
        """The hoods that it is about."""
        return Hood.objects.filter(models.Q(pk=self.hood_id) | models.Q(pk__in=self.of_hoods.values("hood")))


class NoticeHood(models.Model):
    """One of the many hoods that a notice is about."""

    notice = models.ForeignKey(Notice, models.PROTECT, related_name="of_hoods")
    hood = models.ForeignKey(Hood, models.PROTECT, related_name="told_of")

    class Meta:
        ordering = ["notice", "pk"]
        constraints = [models.UniqueConstraint(fields=["notice", "hood"], name="notice_hood_once")]


class NoticeTry(models.Model):
    """One attempt to send a notice: sent, or what the mail server answered."""

    notice = models.ForeignKey(Notice, models.PROTECT, related_name="tries")
    sent = models.BooleanField()
    answer = models.TextField(blank=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["notice", "at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["notice"], condition=models.Q(sent=True), name="notice_sent_once")
        ]


class NoticeClaim(models.Model):
    """Somebody is sending this notice now, until a moment at the latest: who comes meanwhile leaves it alone.

    The one row here that is taken away again: it stands in for a lock while no transaction is open, since nobody talks
    to a mail server inside one.
    """

    notice = models.OneToOneField(Notice, models.PROTECT, primary_key=True, related_name="claim")
    until = models.DateTimeField()
