"""Certificates printed in tests."""

from reports.pdf.certificate import Amended, certificate
from tests.reports.pdf import reading, records

ADDRESS = "HTTPS://HOODS.SKUA.EXAMPLE/H/7KQM4T2R"
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}


def printed(record: dict, paper: str = "A4") -> bytes:
    return certificate(record, records.sha256(record), ADDRESS, paper=paper)


# Amended, qualified ----------------------------------------------------------------------------------------------------


def amended_print(record: dict, **how) -> bytes:
    state = Amended(31, "2026-04-02", **how)
    return certificate(record, records.sha256(record), ADDRESS, amended=state)


def check_inks(pdf: bytes, paper: str, page: int) -> None:
    lines = reading.inks(pdf, page)
    wide, high = PAPERS[paper]
    assert reading.outside(lines, wide, high, margin=9) == []
    assert [line.text for line in lines if line.right > (wide + 178) / 2 + 0.2] == []
    assert reading.collisions(lines, slack=0.25) == []
