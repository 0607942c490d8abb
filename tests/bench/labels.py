"""A page of 16 labels: how long our part takes beside WeasyPrint's alone, on the very same HTML.

Ours reads the batch, classifies it, lays the label out and renders; both are warm (fonts read before).
"""

from decimal import Decimal
from time import perf_counter
from unittest import mock

from django.template.loader import render_to_string
from django.utils import timezone

from practicals.models import Role
from reagents import rendering
from reagents.calculations.label_layout import Sheet
from reagents.documents.bottle_labels import label_run, labels_pdf
from reagents.documents.label_words import bottle_label
from tests.factories import make_recipe, make_user
from tests.reagents.labelled import SIXTEEN, make_batch
from tests.reagents.requested import make_requisition

REPEATS = 7
WANTED = 1.2
LINK = "http://192.0.2.20:8000/prep/batch/01234567-89ab-cdef-0123-456789abcdef/"


def report():
    batch = make_batch(
        make_requisition(make_user("", Role.TEACHER), make_recipe()).lines.get(),
        make_user("", Role.TECHNICIAN),
    )
    ours, alone, plain = [], [], []
    whole_page(batch)
    for _ in range(REPEATS):
        start = perf_counter()
        html, options = whole_page(batch)
        ours.append(perf_counter() - start)
        alone.append(weasyprint_takes(html, options))
        plain.append(weasyprint_takes(html, {}))
    mine, theirs, bare = (1000 * sorted(times)[REPEATS // 2] for times in (ours, alone, plain))
    return [
        ("16 labels of 52 x 74 mm, from records to PDF", f"{mine:.0f} ms", ""),
        ("the same HTML by WeasyPrint alone, PDF/A", f"{theirs:.0f} ms", ratio(mine, theirs)),
        ("the same HTML by WeasyPrint alone, plain PDF", f"{bare:.0f} ms", ratio(mine, bare)),
    ]


def ratio(mine, theirs):
    return f"we take {mine / theirs:.2f} times as long (wanted: {WANTED})"


def whole_page(batch):
    """Read the batch, lay its label out 16 times and render; returns what WeasyPrint was given."""
    given = {}
    html_of = render_to_string

    def kept(*args, **more):
        given["html"] = html_of(*args, **more)
        return given["html"]

    fresh = type(batch).objects.for_batch_page().get(pk=batch.pk)
    with mock.patch.object(rendering, "render_to_string", kept):
        run = label_run(
            bottle_label(fresh, layer="", link=LINK),
            sheet=Sheet(**SIXTEEN),
            start=1,
            copies=16,
            container_ml=Decimal(500),
        )
        labels_pdf(run, created=timezone.now())
    return given["html"], {"pdf_variant": "pdf/a-3a"}


def weasyprint_takes(html, options):
    import weasyprint

    start = perf_counter()
    fetcher = rendering._Parts({})
    weasyprint.HTML(string=html, base_url="document:/", url_fetcher=fetcher).write_pdf(**options)
    return perf_counter() - start
