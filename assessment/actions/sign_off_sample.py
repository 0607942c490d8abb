"""Sign off a sample with all that widened it: every record signed, every action closed."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import readable_plans, verifiable_portfolios
from assessment.models import SampleSignOff, SamplingPlan
from assessment.models.sample_chain import first_of, portfolios_of, sign_off_of, unfinished
from practicals import audit
from practicals.models import User

LONGEST = 5_000


def sign_off_sample(*, by: User, plan: SamplingPlan, comment: str, now: datetime) -> SampleSignOff:
    """End the sample. Signing off twice changes nothing."""
    if not by.has_perm("assessment.sign_off_sample") or not readable_plans(by).filter(pk=plan.pk).exists():
        raise PermissionDenied
    if len(comment) > LONGEST:
        raise ValidationError(f"A comment holds at most {LONGEST:,} characters. Shorten it.")
    with transaction.atomic():
        first = SamplingPlan.objects.select_for_update().get(pk=first_of(plan).pk)
        if done := sign_off_of(first):
            return done
        drawn = portfolios_of(first)
        if drawn.exclude(pk__in=verifiable_portfolios(by).values("pk")).exists():
            raise ValidationError("A portfolio in this sample holds your own decision. Another signs it off.")
        if waits := unfinished(first).sentences:
            raise ValidationError(" ".join(["The sample cannot be signed off yet.", *waits]))
        made = SampleSignOff.objects.create(plan=first, by=by, comment=comment.strip(), at=now)
        audit.record(by=by, action="sign_off_sample", subject=made, sentence="Sample signed off.")
    return made
