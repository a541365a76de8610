"""Words that the scripts of the survey page put in place; `%(name)s` are filled there."""

from django.utils.translation import gettext_lazy as _

SCRIPT_WORDS = {
    "next": _("Next: %(place)s"),
    "review": _("Review and sign"),
    "done": _("done"),
    "wrong": _("has an error"),
    "undo": _("Undo"),
    "undo-of": _("Undo: %(place)s"),
    "points": _("%(read)s of %(all)s points read"),
    "so-far": _("So far, from %(read)s of %(all)s points, %(unit)s"),
    "from-all": _("From all %(all)s points, %(unit)s"),
    "one-missing": _("One point is missing. No limit is met yet."),
    "missing": _("Points missing: %(number)s. No limit is met yet."),
    "none-missing": _("Every point is read."),
    "percent": _("%(number)s %"),
    "quantity": _("%(number)s %(unit)s"),
    "not-a-reading": _("write %(form)s"),
    "above-instrument": _("above %(highest)s"),
    "asked-again": _("Changed since: if it still looks odd, it is asked again once it is kept."),
    "sending": _("Not kept yet: being sent"),
    "changed": _("Not kept yet: still being entered"),
    "kept-at": _("Kept at %(time)s"),
    "no-reason": _("Choose the reason first; then press once more."),
    "not-stopped": _("Not posted: no connection. Hang the sign on the hood now, and press again once there is one."),
    "no-connection": _("Not kept: no connection. It is tried again."),
    "signed-out": _("Not kept: you are signed out. Sign in again in another window; then it is sent."),
    "no-receipt": _("Not kept: the answer was no receipt. It is tried again."),
    "refused": _("Not kept: %(why)s"),
    "conflict": _("Not kept: %(why)s"),
}
