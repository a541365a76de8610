"""What was read, drawn opening by opening, and how the hood was left."""

from collections.abc import Mapping, Sequence
from typing import Any

from reports.pdf import figures, grid
from reports.pdf.flow import MEASURE, Section
from reports.pdf.style import BOLD, SOFT, Draw, Pages, fit
from reports.pdf.wording import Wording, plain

Record = Mapping[str, Any]
Facts = list[tuple[str, str]]
Panels = Sequence[tuple[grid.Panel | None, grid.Panel | None]]


def is_adjusted(record: Record) -> bool:
    return bool(record["entered"].get("adjusted"))


def velocity(record: Record, drawings: Panels, density: float, wording: Wording) -> Section:
    _ = wording
    section = Section(
        _("Face velocity"), _("seen from the front; under each reading, and as shade: its deviation from the average")
    )
    section.lines(method(record["criteria"]["document"], wording), 2.7, 3.5, ink=SOFT)
    if not drawings:
        section.lines(_("No traverse was read."), 3.1, 4.4 * density)
    beside = as_left(record, wording) if stands_alone(drawings, record) else []
    for left, right in drawings:
        height = max(each.height(density) for each in (left, right) if each)
        section.add(height, _row(left, right, beside, density))
    for each in record["entered"].get("struck_traverses") or ():
        section.lines(_struck(each, wording), 2.6, 3.3, ink=SOFT)
    return section


def method(document: Mapping[str, Any], wording: Wording) -> str:
    """How the points were planned and read, in a line."""
    _ = wording
    rule = document["grid"]
    if rule.get("points"):
        return _("Read at the middle of %(points)s equal cells; 20 s a point, probe on a stand, operator clear.") % {
            "points": rule["points"]
        }
    if rule.get("margin"):
        sizes = {"margin": figures.amount(rule["margin"]), "spacing": figures.amount(rule["spacing"])}
        return (
            _(
                "Outer points %(margin)s from the sides, others at most %(spacing)s apart; 20 s a point, probe on a stand, operator clear."
            )
            % sizes
        )
    sizes = {"area": figures.amount(rule["largest_area"]), "edge": figures.amount(rule["longest_edge"])}
    return (
        _(
            "Read at the middle of equal cells of at most %(area)s, no edge over %(edge)s; 20 s a point, probe on a stand, operator clear."
        )
        % sizes
    )


def panels(record: Record, wording: Wording) -> Panels:
    """Traverses two by two: as found beside as left, or, where nothing was adjusted, one opening beside the next."""
    judged, entered = record["judged"]["sets"], record["entered"]
    sizes = {each["name"]: each for each in entered["openings"]}
    order = {each["name"]: place for place, each in enumerate(record["facts"]["openings"])}
    drawn: dict[tuple[str, str], grid.Panel] = {}
    for each in sorted(entered["traverses"], key=lambda each: order.get(each["opening"], len(order))):
        if not any(cell is not None for row in each["readings"] for cell in row):
            continue
        made = next((o for o in judged[each["state"]]["openings"] if o["opening"] == each["opening"]), {})
        both = not is_adjusted(record)
        stood = figures.opened(record, sizes.get(each["opening"], {}).get("height"), wording)
        drawn[each["opening"], each["state"]] = grid.panel(each, made, both, stood, wording, record)
    if is_adjusted(record):
        names = dict.fromkeys(name for name, _state in drawn)
        return [(drawn.get((name, "as-found")), drawn.get((name, "as-left"))) for name in names]
    line = list(drawn.values())
    return [(line[place], line[place + 1] if place + 1 < len(line) else None) for place in range(0, len(line), 2)]


def stands_alone(drawings: Panels, record: Record) -> bool:
    """Whether there is one drawing, with room beside it for words."""
    return len(drawings) == 1 and drawings[0][1] is None and not is_adjusted(record)


def _row(left: grid.Panel | None, right: grid.Panel | None, said: Facts, density: float) -> Draw:
    def draw(pages: Pages, x: float, y: float) -> None:
        if left:
            left.draw(pages, x, y, density)
        if right:
            right.draw(pages, x + MEASURE - grid.WIDE, y, density)
        line = y + 3.2
        for heading, text in said:
            pages.text(x + MEASURE - grid.WIDE + grid.INSET, line, heading, 3.2, BOLD)
            fitted = fit(text, grid.WIDE - grid.INSET, 13, 3, 1.6)
            line = (
                pages.lines(
                    x + MEASURE - grid.WIDE + grid.INSET, line + 4.4, fitted.lines, fitted.size, 1.35 * fitted.size
                )
                + 2
            )

    return draw


def as_left(record: Record, wording: Wording, together: bool = False) -> Facts:
    """What was done at the end, and that nothing was adjusted where that is so; as two facts, or together as one."""
    _ = wording
    entered = record["entered"]
    adjusted = _("Nothing was adjusted: as found stands for both.") if entered.get("adjusted") is False else ""
    names = {
        "controls": _("controls back to automatic"), "alarm": _("alarm armed"), "stop": _("stop engaged"),
        "sash": _("sash closed"), "told": _("laboratory told"),
    }  # fmt: skip
    last = [
        words if (said := wording.value(key, value)) == _("yes") else f"{words}: {said}"
        for key, value in (entered.get("last") or {}).items()
        if value not in (None, "")
        for words in [names.get(key, plain("", key))]
    ]
    moved = entered.get("stop_and_mark_moved")
    if (record["signed"].get("confirmed") or {}).get("stop_and_mark_moved"):
        moved = (record["judged"]["restriction"] or {}).get("largest_opening") or moved
    if moved not in (None, "", False):
        last.append(_("stop and mark moved: %(where)s") % {"where": figures.size(wording.value("moved", moved))})
    end = "; ".join(last)
    if together:
        said = " ".join(each for each in (adjusted, _("At the end: %(what)s") % {"what": end} if end else "") if each)
        return [(_("As left"), said)] if said else []
    return [fact for fact in ((_("As left"), adjusted), (_("At the end"), end)) if fact[1]]


def _struck(traverse: Mapping[str, Any], wording: Wording) -> str:
    _ = wording
    rows = " / ".join(", ".join(figures.mean(cell)[1] for cell in row) for row in traverse["readings"])
    values = {
        "opening": traverse["opening"], "state": wording.codes("state", traverse["state"]), "readings": rows,
        "unit": figures.unit_shown(traverse.get("unit") or ""), "why": traverse.get("struck") or figures.NOTHING,
    }  # fmt: skip
    return _("Struck and not counted: %(opening)s, %(state)s: %(readings)s %(unit)s. Why: %(why)s") % values
