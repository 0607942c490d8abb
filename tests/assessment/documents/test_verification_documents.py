"""The verification record and the sampling report, read back from the PDF."""

import json
from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied

from assessment.actions.draw_sample import draw_sample
from assessment.actions.give_verdict import give_verdict
from assessment.actions.open_record import open_record
from assessment.actions.raise_action import ActionWanted
from assessment.actions.sign_record import disagreements, sign_record
from assessment.documents.sampling_report import gather_report, make_report
from assessment.documents.verification_record import gather_record, make_record
from assessment.models.samples import whole
from practicals.models import AuditEntry
from tests.assessment.handed_in import LATER, decided_class
from tests.documents.reading import attachments, page_texts

DUE = LATER.date() + timedelta(days=7)


@pytest.fixture
def plan(cast):
    found = decided_class(3, verifier=cast.verifier, teacher=cast.teacher)
    unit = found[0].work.assignment.brief.unit
    made = draw_sample(
        by=cast.verifier, unit=unit, size=1, seed=7, stage="final", strata=["grade"], now=LATER
    )
    record = open_record(by=cast.verifier, sampled=made.portfolios.first(), now=LATER)
    for number, decision in enumerate(record.sampled.submission.decisions.filter(is_current=True)):
        verdict, comment = ("agree", "") if number else ("disagree", "The front was not read.")
        give_verdict(
            by=cast.verifier, record=record, decision=decision, verdict=verdict, comment=comment, now=LATER
        )
    wanted = [ActionWanted("Read the front again.", DUE, one, True) for one in disagreements(record)]
    sign_record(by=cast.verifier, record=record, feedback_comment="Clear.", actions=wanted, now=LATER)
    return made


def sampled(plan):
    return whole(plan.portfolios.all()).order_by("order").first()


def text_of(content):
    return " ".join(" ".join(page_texts(content)).split())


@pytest.mark.slow
def test_the_record_says_verdict_action_and_which_evidence(cast, plan):
    issued, content = make_record(by=cast.verifier, sampled=sampled(plan), now=LATER)
    text = text_of(content)
    for said in (
        "disagree: The front was not read.",
        "Read the front again.",
        f"Asked of {cast.teacher.name}",
        "an error of principle",
        "A verdict never changes a decision",
    ):
        assert said in text
    assert issued.evidence_sha256 == sampled(plan).submission.manifest_sha256
    assert issued.evidence_sha256 in text.replace(" ", "")
    assert make_record(by=cast.verifier, sampled=sampled(plan), now=LATER + timedelta(days=1))[0] == issued
    assert AuditEntry.objects.filter(action="keep_document").count() == 1


@pytest.mark.slow
def test_the_report_holds_what_repeats_the_draw(cast, plan):
    issued, content = make_report(by=cast.verifier, plan=plan, now=LATER)
    text = text_of(content)
    for said in ("Not finished.", "1 action is still open.", "every grade", "The number was chosen."):
        assert said in text
    draws = json.loads(attachments(content)["draws.json"])
    assert draws[0]["seed"] == 7
    assert [row["key"] for row in draws[0]["candidates"]] == [row["key"] for row in plan.candidates]
    assert cast.teacher.name not in json.dumps(draws)
    assert issued.kind == "sampling report"


def test_a_document_is_as_old_as_its_last_change(cast, plan):
    assert gather_record(sampled(plan)).created == LATER
    assert gather_report(plan).created == LATER


def test_only_who_may_read_it_has_it(cast, plan):
    for person in (cast.teacher, cast.learner, cast.administrator):
        with pytest.raises(PermissionDenied):
            make_record(by=person, sampled=sampled(plan), now=LATER)
        with pytest.raises(PermissionDenied):
            make_report(by=person, plan=plan, now=LATER)
