"""Make a portfolio for somebody: gathered, printed, then kept. Printing happens outside the transaction."""

from datetime import datetime

from assessment.actions.keep_portfolio import check_may_print, keep_portfolio
from assessment.documents.portfolio import gather_portfolio, portfolio_pdf
from assessment.models import IssuedDocument, Submission
from practicals.models import User


def make_portfolio(*, by: User, submission: Submission, now: datetime) -> tuple[IssuedDocument, bytes]:
    """The learner gets what has been released; everybody else who may read the work gets all.

    Raises `PdfUnavailable` where the machine lacks what PDFs need.
    """
    check_may_print(by, submission)
    for_learner = submission.work.learner_id == by.pk
    portfolio = gather_portfolio(submission, for_learner=for_learner)
    content = portfolio_pdf(portfolio)
    issued = keep_portfolio(
        by=by,
        submission=submission,
        content=content,
        title=portfolio.title,
        for_learner=for_learner,
        now=now,
    )
    return issued, content
