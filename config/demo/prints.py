"""Three prints of the demo for whoever wants to see paper first: a label, a certificate, a 'do not use' sign."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from django.utils import timezone

from hoods.models import Hood, Site
from reports.pdf.certificate import certificate
from reports.pdf.labels import label
from reports.pdf.stop import stop_sign
from reports.queries import prints as queries
from reports.wording import code, words
from surveys.actions.labels import record_label_copies
from surveys.models import Survey

RESTRICTED, ADJUSTED, STOPPED = "FH-0103", "FH-0110", "FH-0105"  # each shows most of what its print can say


def write(site: Site, folder: Path) -> Iterator[str]:
    """Write the prints into a folder, made where it is missing, and say of each what was done."""
    folder.mkdir(parents=True, exist_ok=True)
    today = site.today()
    hoods = {hood.tag: hood for hood in Hood.objects.filter(site=site).select_related("site")}
    file = folder / f"label-{RESTRICTED}.pdf"
    (found,) = queries.labels_today([hoods[RESTRICTED]], today)
    if not isinstance(found, queries.Printable):  # a stop may have been posted since
        yield f"no label of {RESTRICTED}: {found.sentence}"
    elif file.exists() and found.survey.label_copies.exists():  # each copy is recorded
        yield f"{file} is there already: a label is not printed again for nothing"
    else:
        at = timezone.now()
        record_label_copies(surveys=[found.survey], sheet="100x50", by=found.survey.signed_by, at=at)
        yield _written(file, label(found.label, site.printer_dpi, words, "en"))
    survey = Survey.objects.filter(hood=hoods[ADJUSTED]).select_related("record").latest("record")
    attested, address = survey.record.attested, queries.address(hoods[ADJUSTED].code)
    made = certificate(
        attested, survey.record.sha256, address, words=words, paper=site.paper, codes=code, language="en"
    )
    yield _written(folder / f"certificate-{ADJUSTED}.pdf", made)
    sign = queries.stop_sign_today(hoods[STOPPED], today)
    if sign is not None:
        yield _written(folder / f"do-not-use-{STOPPED}.pdf", stop_sign(sign, site.paper, site.printer_dpi, words, "en"))
    else:
        yield f"no ‘do not use’ sign of {STOPPED}: nothing forbids its use today"


def _written(file: Path, made: bytes) -> str:
    file.write_bytes(made)
    return f"wrote {file}"
