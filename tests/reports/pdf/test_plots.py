"""One drawing for page and print: SVG without style attributes, light and dark inks, and the same words on paper."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.template.loader import render_to_string

from reports.core.trend import Band, Benchmarked, Measured, Restricted, Trend
from reports.core.year import Flow
from reports.core.yearly import service
from reports.core.yearly_counts import BuildingLine, MonthLine, Tally
from reports.pdf import averages_plot, trend_plot, year_plots
from reports.pdf import trend as trend_print
from reports.pdf.judgements import SHAPE_OF
from reports.pdf.plot import INKS, WIDE, Plot, steps, text_width
from reports.pdf.shapes import SHAPES
from reports.pdf.style import PAPERS, Pages
from reports.pdf.svg import svg
from reports.pdf.wording import Wording
from tests.reports.pdf import reading

W = Wording()
MONTHS = [MonthLine(date(2026, month, 1), Tally(month, 1, 2, month % 2), Tally(month)) for month in range(1, 13)]
BUILDINGS = [
    BuildingLine(name, service([]), Tally(9, 1, 2, 1), Tally(11, 1, 1, 0))
    for name in ("North Range", "A building whose name is so long that nobody would ever print it on one line", "")
]
LIMITS = ((Fraction(70), "least", "fail"), (Fraction(80), "least", "restrict"), (Fraction(120), "most", "restrict"))


def flow(hoods: int) -> Flow:
    values = tuple((Fraction(60 + place % 70), "pass" if place % 9 else "fail") for place in range(hoods))
    return Flow(1, "ft/min", tuple(sorted(values)), Tally(hoods), LIMITS)


def measured(year: int, found: str, left: str, verdict: str = "pass", opening: str = "working") -> Measured:
    return Measured(
        date(year, 3, 12), year, "annual", opening, Fraction(found), Fraction(left), f"{found} ft/min", f"{left} ft/min",
        "fail" if Fraction(found) < 80 else "pass", verdict, "General, version 1", ("at least 80 ft/min (fail)",),
    )  # fmt: skip


TREND = Trend(
    "ft/min", date(2026, 11, 25),
    (*(measured(year, "98", "98") for year in range(2015, 2024)), measured(2024, "72", "101"),
     measured(2025, "66", "66", "restrict"), measured(2025, "93", "93", "restrict", "lower")),
    (Band(date(2015, 3, 12), date(2020, 12, 31), "General, version 1", LIMITS),
     Band(date(2021, 1, 1), date(2026, 11, 25), "General, version 2", LIMITS[:1])),
    (Restricted(date(2025, 3, 12), date(2026, 11, 25), "sash no higher than 12 in"),),
    (Benchmarked("working", date(2019, 1, 1), date(2026, 11, 25), Fraction(104), "104 ft/min"),),
)  # fmt: skip

FROM_PAPER = measured(2022, "95", "95")._replace(on=date(2022, 9, 1), from_paper=True)
FROM_BEFORE = measured(2014, "97", "97")._replace(left=None, left_said="", signed_here=False)
OF_THREE_SOURCES = TREND._replace(measured=(FROM_BEFORE, *TREND.measured[:8], FROM_PAPER, *TREND.measured[8:]))

PLOTS = {
    "months": lambda: year_plots.by_month(MONTHS, "Months", W),
    "no surveys": lambda: year_plots.by_month([MonthLine(row.month, Tally(), Tally()) for row in MONTHS], "None", W),
    "buildings": lambda: year_plots.by_building(BUILDINGS, "Buildings", W),
    "no buildings": lambda: year_plots.by_building([], "None", W),
    "averages": lambda: averages_plot.averages([("General, 1", flow(30)), ("Acids, 1", flow(1))], "Averages", "ft/min", W),
    "many averages": lambda: averages_plot.averages([("General, 1", flow(5000))], "Averages", "ft/min", W),
    "no averages": lambda: averages_plot.averages([], "None", "ft/min", W),
    "trend": lambda: trend_plot.trend(TREND, "Trend", W),
    "trend of three sources": lambda: trend_plot.trend(OF_THREE_SOURCES, "Sources", W),
    "no trend": lambda: trend_plot.trend(Trend("m/s", date(2026, 11, 25), (), (), (), ()), "None", W),
    "one survey": lambda: trend_plot.trend(TREND._replace(measured=TREND.measured[:1]), "One", W),
}
PLOT = pytest.mark.parametrize("plot", PLOTS.values(), ids=PLOTS)


def drawn(plot: Plot) -> ElementTree.Element:
    return ElementTree.fromstring(svg(plot))


@PLOT
def test_a_plot_is_well_formed_and_the_same_twice(plot):
    made = svg(plot())
    assert made == svg(plot())
    root = ElementTree.fromstring(made)
    assert root.attrib["viewBox"].startswith("0 0 900 ")
    assert root.find("{*}title").text
    assert root.find("{*}desc") is not None


@PLOT
def test_a_plot_has_no_style_attribute_no_id_and_no_script(plot):
    text = svg(plot()).decode()
    assert not re.search(r"\s(style|id|on\w+|href)=", text)
    assert "<script" not in text
    assert text.count("<style>") == 1


@PLOT
def test_every_ink_has_its_dark_one(plot):
    text = svg(plot()).decode()
    classes = {name for found in re.findall(r'class="([^"]*)"', text) for name in found.split()}
    dark = set(re.findall(r"\.([fs]-\w+) \{", text.partition("</style>")[0]))
    assert classes <= dark
    assert {name[2:] for name in classes} <= set(INKS)


@PLOT
def test_nothing_leaves_the_drawing(plot):
    made = plot()
    for shape in made.drawing.contents:
        left, bottom, right, top = shape.getBounds()
        assert left >= -1, shape
        assert bottom >= -1, shape
        assert right <= WIDE + 1, getattr(shape, "text", shape)
        assert top <= made.high + 1, getattr(shape, "text", shape)


@PLOT
def test_the_print_says_the_words_of_the_page(plot):
    made = plot()
    pages = Pages(PAPERS["A4"], title="Plot")
    made.draw(pages, 16, 30, 170)
    words = reading.quick_text(pages.finish())
    said = [text.text for text in drawn(made).iter("{http://www.w3.org/2000/svg}text")]
    assert said
    for text in said:
        assert " ".join(text.split()) in words


def test_the_months_say_their_sums():
    said = svg(PLOTS["months"]()).decode()
    assert f"pass {sum(range(1, 13))}" in said
    assert "JAN 2026: pass 1, no verdict 1, restrict 1, fail 2" in said


def test_the_trend_says_what_it_draws():
    said = drawn(PLOTS["trend"]()).find("{*}desc").text
    for words in ("72 ft/min as found, 101 ft/min as left", "sash no higher than 12 in", "benchmark of working 104 ft/min",
                  "General, version 2: 1 JAN 2021", "12 MAR 2025: lower 93 ft/min"):  # fmt: skip
        assert words in said


def test_the_trend_marks_what_was_transcribed_from_paper():
    """A sheet behind its mark, a line of the key, and its words for who cannot see it; none where nothing was."""

    def sheets(plot: Plot) -> int:
        return sum(type(shape).__name__ == "Rect" and shape.width == 22 for shape in plot.drawing.contents)

    marked, plain = PLOTS["trend of three sources"](), PLOTS["trend"]()
    assert (sheets(marked), sheets(plain)) == (2, 0), "at its place, and in the key"
    assert "1 SEP 2022: working 95 ft/min, pass, transcribed from paper" in drawn(marked).find("{*}desc").text
    for plot, times in ((marked, 1), (plain, 0)):
        texts = [text.text for text in drawn(plot).iter("{http://www.w3.org/2000/svg}text")]
        assert texts.count("transcribed from paper") == times


def test_the_print_of_a_trend_marks_what_was_transcribed_from_paper():
    printed = reading.quick_text(trend_print.trend(OF_THREE_SOURCES, "FH-0142", "North Range 214", "Skua Institute", W))
    assert "1 SEP 2022, 2022, transcribed from paper" in printed
    assert printed.count("transcribed from paper") == 2, "in the table, and in the key of the plot"
    plain = reading.quick_text(trend_print.trend(TREND, "FH-0142", "North Range 214", "Skua Institute", W))
    assert "transcribed from paper" not in plain


def test_five_thousand_hoods_fit_by_marks_that_stand_for_several():
    made = PLOTS["many averages"]()
    assert made.high < 500
    assert "up to" in svg(made).decode()


STEPS = [((55, 150), [40, 60, 80, 100, 120, 140, 160]), ((0, 4), [0, 1, 2, 3, 4]), ((0.31, 0.62), None)]


@pytest.mark.parametrize(("ends", "marks"), STEPS)
def test_an_axis_is_written_with_round_values(ends, marks):
    found = steps(*ends)
    assert found[0] <= ends[0]
    assert found[-1] >= ends[1]
    assert marks is None or found == marks


NOTED = ((Fraction(70), "least", "fail"), (Fraction(110), "most", "note"))


def lines_of(plot: Plot) -> set[str]:
    """What the key under a plot says of its limits."""
    texts = {element.text or "" for element in drawn(plot).iter() if element.tag.endswith("text")}
    return {text for text in texts if text.startswith("limit:")}


def test_a_limit_is_drawn_by_what_it_costs_and_the_key_holds_what_is_drawn():
    noted = flow(3)._replace(bounds=NOTED)
    plot = averages_plot.averages([("General, 1", noted)], "Averages", "ft/min", W)
    assert lines_of(plot) == {"limit: fail", "limit: note"}
    dashed = {
        shape.strokeDashArray and tuple(shape.strokeDashArray)
        for shape in plot.drawing.contents
        if type(shape).__name__ == "Line" and shape.strokeWidth == 2
    }
    assert dashed == {None, (2, 3)}
    assert "restrict" not in {element.text for element in drawn(plot).iter()}


def test_plots_that_follow_each_other_have_one_key_of_all_that_they_draw():
    first, second = flow(3), flow(2)._replace(bounds=NOTED)
    plots = [
        averages_plot.averages([("General, 1", one)], "", "ft/min", W, (first, second), key=one is second)
        for one in (first, second)
    ]
    assert lines_of(plots[0]) == set()
    assert lines_of(plots[1]) == {"limit: fail", "limit: restrict", "limit: note"}
    assert plots[0].high < plots[1].high


def test_a_verdict_has_one_shape_on_page_and_print():
    """The page's symbols hold the same outlines as the print's shapes, where both draw a survey without a verdict."""
    piece = render_to_string("components/outcome.html", {"outcome": "no-verdict"})
    assert f"#{SHAPE_OF['no-verdict']}" in piece
    symbols = Path("static/shapes.svg").read_text(encoding="utf-8")
    symbol = re.search(r'<symbol id="no-verdict".*?d="([^"]*)"', symbols)
    assert symbol
    assert symbol[1].count("z") == SHAPES["no-verdict"].count("h") == 5  # four corners and a bar


def test_a_key_of_everything_runs_into_nothing():
    """Four verdicts, three kinds of limit, and a mark that stands for several hoods."""
    many = flow(5000)
    mixed = tuple(
        (value, ("pass", "restrict", "fail", "no-verdict")[place % 4]) for place, (value, _v) in enumerate(many.values)
    )
    plot = averages_plot.averages([("General, 1", many._replace(values=mixed, bounds=LIMITS + NOTED))], "", "ft/min", W)
    spans: dict[float, list[tuple[float, float]]] = {}
    for shape in plot.drawing.contents:
        if type(shape).__name__ == "String" and shape.y < 60:
            wide = text_width(shape.text)
            x = shape.x - wide if shape.textAnchor == "end" else shape.x
            spans.setdefault(shape.y, []).append((x, x + wide))
    assert sum(map(len, spans.values())) == 8
    for row in spans.values():
        row.sort()
        assert all(before[1] < after[0] for before, after in zip(row, row[1:], strict=False))
        assert row[-1][1] <= WIDE
