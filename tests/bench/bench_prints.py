"""Certificates a second, beside a bare canvas that draws the same marks and codes."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from reportlab.pdfgen.canvas import Canvas

from reports.pdf import qr, style
from reports.pdf.bundle import Document, Front, HoodFile, bundle
from reports.pdf.certificate import certificate
from reports.pdf.style import INK, MM, REGULAR, Pages
from tests.bench.ratio import ratio, said
from tests.reports.pdf import records

MANY = 40
PAPER = style.PAPERS["A4"]
Mark = tuple[str, tuple[Any, ...], dict[str, Any]]


@pytest.fixture
def marks(monkeypatch) -> Callable[[dict[str, Any], str, str], list[Mark]]:
    """What a certificate draws, mark by mark; drawing goes on as it is."""

    def of(record: dict[str, Any], sha256: str, address: str) -> list[Mark]:
        seen: list[Mark] = []
        with monkeypatch.context() as patched:
            for name in ("text", "rule", "box", "marks", "next_page"):
                plain = getattr(Pages, name)

                def noted(pages, *args, _name=name, _plain=plain, **named):
                    seen.append((_name, args, named))
                    return _plain(pages, *args, **named)

                patched.setattr(Pages, name, noted)
            certificate(record, sha256, address)
        return seen

    return of


def bare(drawn: list[Mark], address: str) -> bytes:
    """The same marks by the canvas's own ways, the code made anew."""
    return bare_file([(drawn, address)], compressed=0)


def bare_file(documents: list[tuple[list[Mark], str]], compressed: int = 1) -> bytes:
    """The marks of documents one after another in one file."""
    file = io.BytesIO()
    canvas = Canvas(file, pagesize=(PAPER[0] * MM, PAPER[1] * MM), pageCompression=compressed, invariant=1)
    for drawn, address in documents:
        for name, args, named in drawn:
            BARE[name](canvas, PAPER[1], *args, **named)
        qr.code(address)
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def _text(canvas, height, x, y, text, size, weight=REGULAR, ink=INK, align="left", spacing=0, squeeze=1):
    canvas.setFillColorRGB(*ink)
    canvas.setFont(weight, size * MM)
    draw = {"left": canvas.drawString, "right": canvas.drawRightString}.get(align, canvas.drawCentredString)
    draw(x * MM, (height - y) * MM, text)


def _rule(canvas, height, x, y, to_x, to_y=None, thick=0.25, ink=INK):
    canvas.setStrokeColorRGB(*ink)
    canvas.setLineWidth(thick * MM)
    canvas.line(x * MM, (height - y) * MM, to_x * MM, (height - (y if to_y is None else to_y)) * MM)


def _box(canvas, height, x, y, wide, high, *, fill=None, edge=None, thick=0.2):
    if fill is not None:
        canvas.setFillColorRGB(*fill)
    if edge is not None:
        canvas.setStrokeColorRGB(*edge)
        canvas.setLineWidth(thick * MM)
    at = (x * MM, (height - y - high) * MM, wide * MM, high * MM)
    canvas.rect(*at, stroke=edge is not None, fill=fill is not None)


def _marks(canvas, height, operators, x, y, scale, ink=(0, 0, 0)):
    canvas.saveState()
    canvas.setFillColorRGB(*ink)
    canvas.transform(scale * MM, 0, 0, -scale * MM, x * MM, (height - y) * MM)
    canvas._code.append(operators)
    canvas.restoreState()


BARE = {
    "text": _text, "rule": _rule, "box": _box, "marks": _marks,
    "next_page": lambda canvas, height: canvas.showPage(),
}  # fmt: skip


def some() -> list[tuple[dict[str, Any], str, str]]:
    """Records with their hashes and addresses, as a certificate is made from."""
    made = []
    for number in range(MANY):
        record = records.record(records.entered([records.traverse(records.GOOD)]), number=number + 1)
        made.append((record, f"{number:064x}", f"HTTPS://HOODS.SKUA.EXAMPLE/H/7KQM{number:04}"))
    return made


def bench_certificates_beside_a_bare_canvas(marks):
    made = some()
    drawn = [(marks(*one), one[2]) for one in made]
    assert all(sum(name == "text" for name, *_rest in one) > 60 for one, _address in drawn)

    def ours() -> None:
        qr.code.cache_clear()
        for one in made:
            certificate(*one)

    def canvas() -> None:
        qr.code.cache_clear()
        for one, address in drawn:
            bare(one, address)

    said("certificates a second, beside a bare canvas", 1 / ratio(ours, canvas), at_least=0.6)


def bench_the_certificates_of_a_year_as_one_file_beside_a_bare_canvas(marks):
    """Pages a second: first page, bookmarks and packing included, beside one bare canvas that draws the same marks."""
    made = some()
    drawn = [(marks(*one), one[2]) for one in made]
    front = Front(
        "Skua Institute", "Certificates of Skua Institute", (f"{MANY} certificates",), "Hoods as they stood today."
    )

    def ours() -> None:
        qr.code.cache_clear()
        hoods = (HoodFile(one[2], [Document(*one)]) for one in made)
        bundle(io.BytesIO(), front, hoods)

    def canvas() -> None:
        qr.code.cache_clear()
        bare_file(drawn)

    said("certificates of a year as one file, beside a bare canvas", 1 / ratio(ours, canvas), at_least=0.6)
