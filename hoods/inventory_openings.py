"""The openings that a row of a list says, beside those that its hood has: what of them cannot be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _

from hoods.core.cover import FIELDS as COVER_MEASURES
from hoods.core.cover import Cover, field_of, why_not
from hoods.core.lower import Sized, higher_than_working, lower_than_working
from hoods.core.panel import Slid, of_one_size
from hoods.core.part import OF_SASH, OF_USE, lacks_part
from hoods.core.sameness import folded
from hoods.core.set_back import cannot_be_set_back
from hoods.inventory_kept import KeptHood
from hoods.inventory_said import Problem, Said, SaidOpening, alike, opening_column
from hoods.models import Opening
from hoods.words import COVERS, HAS_SET_BACK, NO_SET_BACK, WAYS

NEEDED = _("An opening that is new needs this column: add it to the list and fill it in.")
_ONE_WAY = _("Such a sash opens in one way: leave this cell empty.")


def why_not_openings(one: Said, hood: KeptHood | None) -> Iterator[Problem]:
    have = {opening.name: opening for opening in hood.openings} if hood else {}
    looks = {folded(name): name for name in have}
    met: dict[str, int] = {}
    for opening in one.openings:
        column, name = f"opening {opening.number} name", folded(opening.name)
        if name in met:
            said = _("Opening %(number)d has this name already: each opening of a hood has a name of its own.")
            yield Problem(one.row, column, said % {"number": met[name]})
        elif opening.name not in have and name in looks:
            yield Problem(one.row, column, alike(looks[name]))
        elif opening.name not in have:
            lacks = [each for each in ("use", "width", "height") if each not in opening.what]
            yield from (
                Problem(one.row, opening_column(opening.number, each), NEEDED, of_column=True) for each in lacks
            )
        met.setdefault(name, opening.number)
        kept = have.get(opening.name)
        if said := _why_not_way(one, opening, hood, kept) or _why_not_part(one, opening.name, opening.what, hood, kept):
            yield Problem(one.row, opening_column(opening.number, "way"), said)
        yield from _why_not_cover(one, opening, kept)
    named = {opening.name for opening in one.openings}
    for name, kept in have.items():
        if name not in named and _why_not_part(one, name, {}, hood, kept):
            said = _("Nothing says which part of such a sash its opening “%(opening)s” is: write its name and its way beside it.")
            if _sash(one, hood) not in OF_SASH:
                said = _("Its opening “%(opening)s” is a part that such a sash does not have: write its name, and no way beside it.")
            yield Problem(one.row, "sash", said % {"opening": name})
    yield from _why_not_set_back(one, have, hood.hood.control if hood else "")
    yield from _why_not_heights(one, have)
    yield from _why_not_sizes(one, have)


def _why_not_way(one: Said, opening: SaidOpening, hood: KeptHood | None, kept: Opening | None) -> Any:
    """A way that the sash does not have, or none where a combination sash needs one; what is kept so may stay."""
    have = (kept.way, kept.use) if kept else ("", "")
    way, use = opening.what.get("way", have[0]), opening.what.get("use", have[1])
    if kept and (way, use) == have:
        return None
    sash = _sash(one, hood)
    ways = WAYS.get(sash, {})
    if sash and way and way not in ways:
        if not ways:
            return _ONE_WAY
        return _("“%(way)s” is not one of these: %(takes)s.") % {"way": way, "takes": ", ".join(ways)}
    if sash == "combination" and not way and use in OF_USE:
        said = _("A combination sash opens in two ways that must never be open together: write one of %(takes)s.")
        return said % {"takes": ", ".join(ways)}
    return None


def _why_not_part(
    one: Said, name: str, what: Mapping[str, Any], hood: KeptHood | None, kept: Opening | None
) -> Any:
    """An opening of which nothing would say which part of its sash it is; what is kept so may stay with its sash."""
    way, use = (what.get(key, getattr(kept, key, "")) for key in ("way", "use"))
    if kept and hood and (way, use, _sash(one, hood)) == (kept.way, kept.use, hood.hood.sash):
        return None
    if not lacks_part(_sash(one, hood), use, way, name):
        return None
    if _sash(one, hood) not in OF_SASH:
        return _ONE_WAY
    said = _("Nothing says which part of the sash this opening is: write one of %(takes)s.")
    return said % {"takes": ", ".join(WAYS[_sash(one, hood)])}


def _sash(one: Said, hood: KeptHood | None) -> str:
    """The sash that the hood would have."""
    return one.hood.get("sash") or (hood.hood.sash if hood else "")


def _why_not_set_back(one: Said, have: Mapping[str, Opening], kept_control: str) -> Iterator[Problem]:
    """An opening for set-back of a hood whose flow never changes; what is kept so may stay."""
    control = one.hood.get("control") or kept_control
    named = {opening.name: opening for opening in one.openings}
    for name in (*named, *(name for name in have if name not in named)):
        kept = have[name].use if name in have else ""
        use = named[name].what.get("use", kept) if name in named else kept
        if not cannot_be_set_back(control, use) or (kept and cannot_be_set_back(kept_control, kept)):
            continue
        if use != kept:
            yield Problem(one.row, opening_column(named[name].number, "use"), NO_SET_BACK)
        else:
            yield Problem(one.row, "control", HAS_SET_BACK % {"opening": name})


def _why_not_cover(one: Said, opening: SaidOpening, kept: Opening | None) -> Iterator[Problem]:
    """What covers a part of an opening as it would be kept; a column that the list lacks stays as it is."""
    names = ("cover", *COVER_MEASURES, "width", "height")
    *covered, width, height = (opening.what.get(name, getattr(kept, name, "")) for name in names)
    if wrong := why_not(Cover(*covered), width, height):
        yield Problem(one.row, opening_column(opening.number, field_of(wrong[0])), COVERS[wrong[1]])


def _why_not_sizes(one: Said, have: Mapping[str, Opening]) -> Iterator[Problem]:
    """Openings of one panel that would be of one size, each at its width in the list; what is kept so may stay."""
    kept = {name: opening.slid for name, opening in have.items()}
    said = [(opening, _slid(opening, have.get(opening.name))) for opening in one.openings]
    changed = [(opening, new) for opening, new in said if new != kept.get(opening.name)]
    names = {opening.name for opening, _new in changed}
    met = [each for name, each in kept.items() if name not in names]
    for opening, new in changed:
        if other := of_one_size(new, met):
            words = _("The opening “%(other)s” is of this panel and of this size already.")
            yield Problem(one.row, opening_column(opening.number, "width"), words % {"other": other.name})
        met.append(new)


def _slid(opening: SaidOpening, kept: Opening | None) -> Slid:
    """An opening as it would be kept; a column that the list lacks stays as it is."""
    names = ("way", "width", "height", "cover", *COVER_MEASURES)
    way, width, height, *covered = (opening.what.get(name, getattr(kept, name, "")) for name in names)
    return Slid(opening.name, way, width, height, Cover(*covered) if covered[0] else None)


def _why_not_heights(one: Said, have: Mapping[str, Opening]) -> Iterator[Problem]:
    """Heights that cannot be beside one another, at the opening of the list that is one of the two."""
    kept = {name: Sized(name, opening.use, opening.height, opening.way) for name, opening in have.items()}
    named, sized = {opening.name: opening for opening in one.openings}, dict(kept)
    for name, opening in named.items():
        new = {key: opening.what[key] for key in ("use", "height", "way") if key in opening.what}
        sized[name] = kept.get(name, Sized(name, "", ""))._replace(**new)
    if not named:
        return
    if found := higher_than_working(sized.values()):
        said = _(
            "The lower opening “%(lower)s” would be higher (%(height)s) than the working one (%(most)s): check both."
        )
        values = {"lower": found.lower.name, "height": found.lower.height, "most": found.most.height}
        yield from _at_height(one, named.get(found.lower.name) or named.get(found.most.name), said % values)
    full = lower_than_working(sized.values())
    if full and full != lower_than_working(kept.values()):
        said = _(
            "Fully open, the opening “%(full)s” would be lower (%(height)s) than the working one (%(most)s): check both."
        )
        values = {"full": full.full.name, "height": full.full.height, "most": full.working.height}
        yield from _at_height(one, named.get(full.full.name) or named.get(full.working.name), said % values)


def _at_height(one: Said, opening: SaidOpening | None, said: Any) -> Iterator[Problem]:
    if opening is not None:
        yield Problem(one.row, opening_column(opening.number, "height"), said)
