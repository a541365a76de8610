"""L2: every printed figure equals the record."""

import random
from copy import deepcopy
from fractions import Fraction

import pytest

from reports.pdf import figures
from reports.pdf.wording import plain
from surveys.core.criteria import FIGURE
from surveys.core.units import quantity
from tests.reports.pdf import reading

# L2: no printed figure differs from the record ---------------------------------------------------------------------------
from tests.reports.pdf.drawn import drawn
from tests.reports.pdf.printing import printed
from tests.reports.pdf.records import CRITERIA, HOOD, passing, record


def expected_rows(record: dict) -> list[str]:
    """Each row of the table of limits as it must be read from the page, put together from the record alone."""
    sets = record["judged"]["sets"]
    states = ("as-found", "as-left") if record["entered"]["adjusted"] else ("as-left",)
    rows = []
    for opening in sets["as-left"]["openings"]:
        for judgement in opening["judgements"]:
            if "figure" not in judgement:
                continue
            limit = record["criteria"]["document"]["limits"][judgement["limit"]]
            row = [FIGURE[judgement["figure"]].name, figures.said(limit, _plain()), limit["consequence"]]
            if limit.get("restriction"):
                row.append(f"else {limit['restriction']}")
            for state in states:
                same = next(
                    (
                        each
                        for other in sets[state]["openings"]
                        if other["opening"] == opening["opening"]
                        for each in other["judgements"]
                        if each.get("limit") == judgement["limit"]
                    ),
                    {"value": None, "compared": None, "outcome": "not-tested"},
                )
                number, compared = same["value"], same["compared"]
                value = "–" if number is None else number["shown"] + (f" ({compared.split()[0]})" if compared else "")
                row += [value.replace("-", "−"), plain("outcome", same["outcome"])]
            rows.append(" ".join(row))
    return rows


def hood_rows(record: dict) -> list[str]:
    """Each row of the hood as a whole: its limit, and what was measured in one state."""
    document, rows = record["criteria"]["document"], []
    for judgement in record["judged"]["sets"]["as-left"]["hood"]:
        if "figure" in judgement:
            limit, number = document["limits"][judgement["limit"]], judgement["value"]
            value = number["shown"] if number else "–"
            said = f"{FIGURE[judgement['figure']].name} {figures.said(limit, _plain())} {limit['consequence']} {value}"
            rows.append(f"{said} {plain('outcome', judgement['outcome'])}")
    return rows


def measured_at_hood(seed: int) -> dict:
    """A filtered hood drawn at random: light, noise, pressure and its alarm, each near its limit, some not measured."""
    source = random.Random(seed)
    of_hood = {
        "light": f"{source.randint(397, 403)} lx",
        "noise": f"{source.randint(618, 622) / 10} dBA",
        "filter-pressure": f"{source.randint(248, 250)} Pa",
    }
    limits = [{"figure": "light", "at_least": "400 lx"}, {"figure": "noise", "at_most": "62.0 dBA"},
              {"figure": "filter-pressure", "at_most": "1 inH2O"}, {"figure": "alarm-seconds", "at_most": "10 s"}]  # fmt: skip
    criteria = CRITERIA | {
        "limits": [*CRITERIA["limits"], *({**one, "applies_to": "hood", "consequence": "note"} for one in limits)]
    }
    content = passing()["entered"] | {
        "of_hood": [
            {"figure": figure, "state": "as-found", "value": value}
            for figure, value in of_hood.items()
            if source.random() < 0.8
        ],
        "alarms": [{"state": "as-found", "after": f"{source.randint(8, 12)} s"}],
    }
    return record(content, criteria=criteria, hood=HOOD | {"kind": "filtered"})


@pytest.mark.parametrize("decade", range(2))
def test_l2_every_printed_figure_of_the_hood_equals_the_record_over_20_surveys(decade):
    outcomes = set()
    for seed in range(10 * decade, 10 * decade + 10):
        made = measured_at_hood(seed)
        words = reading.quick_text(printed(made))
        rows = hood_rows(made)
        assert len(rows) == 4
        assert [row for row in rows if row not in words] == [], seed
        outcomes |= {one["outcome"] for one in made["judged"]["sets"]["as-left"]["hood"] if "figure" in one}
    assert outcomes == {"met", "not-met", "not-tested"}


def _plain():
    from reports.pdf.wording import Wording

    return Wording()


@pytest.mark.parametrize("decade", range(10))
def test_l2_every_printed_figure_equals_the_record_over_200_surveys(decade):
    for seed in range(20 * decade, 20 * decade + 20):
        record = drawn(seed)
        words = reading.quick_text(printed(record))
        for row in expected_rows(record):
            assert row in words, (seed, row)
        for traverse in record["entered"]["traverses"]:
            if not any(cell for row in traverse["readings"] for cell in row):
                continue
            [opening] = [
                o
                for o in record["judged"]["sets"][traverse["state"]]["openings"]
                if o["opening"] == traverse["opening"]
            ]
            assert _figures_in_a_row(traverse, opening) in words, seed
        _contradicts_nothing(record)


def _figures_in_a_row(traverse: dict, opening: dict) -> str:
    """The readings in their rows and columns, then the five figures under them, as the drawing is read."""
    average = opening["figures"]["average"]
    columns = " ".join(str(column + 1) for column in range(len(traverse["readings"][0])))
    said = [columns]
    for number, row in enumerate(traverse["readings"], 1):
        said.append(str(number))
        for cell in row:
            value, digits = _mean(cell)
            said.append(digits)
            if value is not None and average:
                exact = Fraction(average["exact"])
                percent = round(100 * (value - exact) / exact)
                said.append(f"{'+' if percent > 0 else '−' if percent < 0 else ''}{abs(percent)} %")
    for code, name in {
        "average": "average",
        "lowest": "lowest",
        "highest": "highest",
        "spread": "spread",
        "deviation-percent": "deviation",
    }.items():
        figure = opening["figures"][code]
        said.append(
            f"{figure['shown'] if figure else '–'}{' %' if figure and code == 'deviation-percent' else ''} {name}"
        )
    return " ".join(said)


def _mean(cell) -> tuple[Fraction | None, str]:
    repeats = [each for each in (cell if isinstance(cell, list) else [cell]) if isinstance(each, str)]
    if not repeats:
        return None, "–"
    value = sum(map(Fraction, repeats)) / len(repeats)
    if len(repeats) == 1:
        return value, repeats[0]
    places = max(len(text.partition(".")[2]) for text in repeats) + 1
    digits = f"{float(value):.{places}f}"
    return value, digits.rstrip("0").rstrip(".") if "." in digits else digits


def _contradicts_nothing(record: dict) -> None:
    """The digits as printed, held against the limit as printed, give the outcome as printed."""
    rounded = record["criteria"]["document"]["compare"] == "rounded"
    for made in record["judged"]["sets"].values():
        for judgement in (each for opening in made["openings"] for each in opening["judgements"] if "figure" in each):
            if not judgement["value"] or judgement["outcome"] == "not-tested":
                continue
            limit = record["criteria"]["document"]["limits"][judgement["limit"]]
            digits = judgement["compared"].split()[0] if rounded else figures.measured(judgement).replace("−", "-")
            least, most = (
                Fraction(quantity(limit[key]).text) if limit.get(key) else None for key in ("at_least", "at_most")
            )
            met = (least is None or Fraction(digits) >= least) and (most is None or Fraction(digits) <= most)
            assert met == (judgement["outcome"] == "met"), (judgement, limit)


def test_l2_a_figure_that_differs_is_seen():
    """The control of the test above: one digit changed on the way to the printer."""
    record = drawn(3)
    changed = deepcopy(record)
    opening = next(
        o
        for o in changed["judged"]["sets"]["as-left"]["openings"]
        if any("figure" in j and j["value"] for j in o["judgements"])
    )
    judgement = next(j for j in opening["judgements"] if "figure" in j and j["value"])
    judgement["value"]["shown"] += "1"
    words = reading.quick_text(printed(changed))
    assert any(row not in words for row in expected_rows(record))
