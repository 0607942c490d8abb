"""A page of 16 labels: how long our part takes beside WeasyPrint's alone, on the very same HTML.

Ours reads the batches, classifies them, lays the labels out and renders; both are warm (fonts read before).
Processor time, each run beside its own comparison, so that what else the machine does counts little.
"""

from decimal import Decimal
from statistics import median
from time import process_time
from unittest import mock

from django.template.loader import render_to_string
from django.utils import timezone

from practicals.models import Role
from reagents import rendering
from reagents.calculations.label_layout import Sheet
from reagents.documents.bottle_labels import label_run, labels_pdf
from reagents.documents.label_words import bottle_label
from reagents.models import Batch
from reagents.models.recipe import WITH_STOCKS
from tests.factories import make_recipe, make_user, serial
from tests.reagents.labelled import SIXTEEN, make_batch
from tests.reagents.requested import make_requisition

REPEATS = 7
WANTED = 1.2
LINK = "http://192.0.2.20:8000/prep/batch/01234567-89ab-cdef-0123-456789abcdef/"


def report():
    made = [a_batch() for _ in range(16)]
    return [*rows("16 labels alike, 52 x 74 mm", made[:1], 16), *rows("16 that differ", made, 1)]


def a_batch():
    line = make_requisition(make_user("", Role.TEACHER), make_recipe(f"Mixture {next(serial)}")).lines.get()
    return make_batch(line, make_user("", Role.TECHNICIAN))


def rows(what, batches, copies):
    ours, alone = [], []
    whole_page(batches, copies)
    for _ in range(REPEATS):
        start = process_time()
        html = whole_page(batches, copies)
        ours.append(process_time() - start)
        alone.append(weasyprint_takes(html))
    mine, theirs = (1000 * median(times) for times in (ours, alone))
    times = median(one / other for one, other in zip(ours, alone, strict=True))
    return [
        (
            what,
            f"{mine:.0f} and {theirs:.0f} ms",
            f"{times:.2f} of WeasyPrint alone (wanted: {WANTED} at most)",
        )
    ]


def whole_page(batches, copies):
    """Read the batches, lay their labels out and render; returns the HTML that WeasyPrint was given."""
    given = []

    def kept(*args, **more):
        given.append(render_to_string(*args, **more))
        return given[-1]

    asked = Batch.objects.for_batch_page().prefetch_related(f"recipe__{WITH_STOCKS}")
    found = asked.filter(pk__in=[batch.pk for batch in batches])
    with mock.patch.object(rendering, "render_to_string", kept):
        run = label_run(
            [bottle_label(batch, layer="", link=LINK) for batch in found],
            name="Labels",
            sheet=Sheet(**SIXTEEN),
            start=1,
            copies=copies,
            container_ml=Decimal(500),
        )
        labels_pdf(run, created=timezone.now())
    return given[-1]


def weasyprint_takes(html):
    import weasyprint

    start = process_time()
    fetcher = rendering._Parts({})
    weasyprint.HTML(string=html, base_url="document:/", url_fetcher=fetcher).write_pdf(pdf_variant="pdf/a-3a")
    return process_time() - start
