"""A portfolio: how long gathering and writing takes beside what WeasyPrint needs for the very same HTML.

Both times come from one run, processor time: the whole, and that part of it that was spent in WeasyPrint.
"""

from statistics import median
from time import process_time
from types import SimpleNamespace
from unittest import mock

from assessment.documents.portfolio import gather_portfolio, portfolio_pdf
from assessment.models import Submission
from practicals.models import Centre, Role
from tests.assessment.documents.rich import rich_submission
from tests.factories import make_class, make_user

REPEATS = 7
WANTED = 1.15


def report():
    submission = a_submission()
    whole_portfolio(submission)
    runs = [whole_portfolio(submission) for _ in range(REPEATS)]
    whole, alone = (1000 * median(times) for times in zip(*runs, strict=True))
    ratio = median(one / other for one, other in runs)
    return [
        (
            "portfolio, 2 papers, decisions, photo",
            f"{whole:.0f} and {alone:.0f} ms",
            f"{ratio:.2f} of WeasyPrint alone (wanted: {WANTED} at most)",
        )
    ]


def a_submission():
    Centre(name="Invented College").save()
    teacher = make_user("", Role.TEACHER)
    teaching_class = make_class(teacher=teacher, learners=3)
    return rich_submission(
        SimpleNamespace(
            teacher=teacher,
            teaching_class=teaching_class,
            learner=teaching_class.learners().first(),
            technician=make_user("", Role.TECHNICIAN),
            verifier=make_user("", Role.VERIFIER),
        )
    )


def whole_portfolio(submission):
    """Processor time of the whole, and of WeasyPrint within it [s]."""
    import weasyprint

    inside = []

    class Timed(weasyprint.HTML):
        def __init__(self, *args, **more):
            start = process_time()
            super().__init__(*args, **more)
            inside.append(process_time() - start)

        def write_pdf(self, *args, **more):
            start = process_time()
            made = super().write_pdf(*args, **more)
            inside.append(process_time() - start)
            return made

    fresh = Submission.objects.get(pk=submission.pk)
    with mock.patch.object(weasyprint, "HTML", Timed):
        start = process_time()
        portfolio_pdf(gather_portfolio(fresh, for_learner=False))
        whole = process_time() - start
    return whole, sum(inside)
