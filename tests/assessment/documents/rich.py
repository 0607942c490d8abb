"""One submission with everything a portfolio can hold: two papers, slips, help, notes, a photo, decisions."""

from datetime import timedelta
from decimal import Decimal
from io import BytesIO

from PIL import Image

from assessment.actions.decide import decide
from assessment.actions.declare_assessor import declare_assessor
from assessment.actions.give_feedback import give_feedback
from assessment.actions.release import release
from assessment.models import Criterion, Submission
from practicals.actions.keep_file import keep_file
from practicals.models import (
    BenchNote,
    HelpGiven,
    Lane,
    Paper,
    PaperPhoto,
    ReadingSet,
    SpotReading,
    User,
)
from reagents.models import Batch, BatchAmount
from tests.assessment.submitting import hand_in
from tests.factories import NOW, make_assignment, make_paper, make_practical, make_readings, make_session

CONCLUSION = (
    "The unknown runs as far as leucine: 0.74 against 0.75, less than two readings of the ruler can be apart."
    "\n\nAlanine and glycine lie far from it, so neither can be in lane 4."
)
EVALUATION = "The spots tailed because the paper was spotted too wet. I would dry each drop before the next."


def rich_submission(cast, *, papers=2, width=180, height=150, photo=True, **writing) -> Submission:
    """The cast's learner hands in readings of so many papers of 180 mm by 150 mm."""
    practical = make_practical(paper_width_mm=Decimal(width), paper_height_mm=Decimal(height))
    session = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class, practical=practical)
    group = session.groups.get(members__learner=cast.learner)
    made = [group.papers.get(), *(make_paper(group, letter) for letter in "BCD"[: papers - 1])]
    for paper in made:
        read(paper, cast.learner)
        fill(paper, made_by=cast.technician)
    HelpGiven.objects.create(
        session=session, learner=cast.learner, text="Measure both from the origin line.", at=NOW
    )
    BenchNote.objects.create(
        session=session,
        learner=cast.learner,
        by=cast.teacher,
        text="P1: small even spots, gloves on.",
        at=NOW,
    )
    if photo:
        add_photo(made[0], cast.learner)
    assignment = make_assignment(session=session, signed_off_by=cast.verifier)
    ask_for_evidence(assignment.brief.unit)
    texts = {"conclusion": CONCLUSION, "evaluation": EVALUATION, **writing}
    return hand_in(assignment, cast.learner, now=NOW + timedelta(days=3, hours=4), **texts)


def read(paper: Paper, learner: User) -> ReadingSet:
    """The first own value is right, the second inverted, the third cut off, the fourth measured by edges."""
    readings = make_readings(paper, learner, centres=("35", "45", "75.5", "74"))
    for number, own in enumerate(("0.25", "2.67", "0.75", "0.74"), start=1):
        SpotReading.objects.filter(
            lane_reading__reading_set=readings, lane_reading__lane__number=number
        ).update(own_rf=own)
    edges = SpotReading.objects.filter(lane_reading__reading_set=readings, lane_reading__lane__number=4)
    leucine = Lane.objects.get(paper=paper, number=3).analyte
    edges.update(leading_mm=Decimal(77), trailing_mm=Decimal(71), identified_as=leucine)
    Lane.objects.filter(paper=paper, number__in=[1, 4]).update(applied_by=learner)
    return readings


def fill(paper: Paper, *, made_by: User) -> Batch:
    recipe = paper.group.session.practical.mobile_phase
    batch = Batch.objects.create(
        code=f"B{paper.letter}42{paper.pk}", recipe=recipe, made_at=NOW, made_by=made_by, initials="TT",
        total_ml=Decimal(200),
    )  # fmt: skip
    for part, wanted, measured in zip(
        recipe.parts.all(), ("120", "30", "50"), ("120", "30.5", "50"), strict=True
    ):
        BatchAmount.objects.create(
            batch=batch, part=part, unit="mL", wanted=Decimal(wanted), measured=Decimal(measured), lot="L7"
        )
    chamber = paper.chamber
    chamber.batch, chamber.filled_at, chamber.filled_by = batch, NOW, made_by
    chamber.save()
    return batch


def add_photo(paper: Paper, learner: User) -> PaperPhoto:
    picture = BytesIO()
    Image.new("RGB", (640, 480), (240, 235, 220)).save(picture, "JPEG")
    file = keep_file(content=picture.getvalue(), media_type="image/jpeg", now=NOW)
    return PaperPhoto.objects.create(
        paper=paper, learner=learner, file=file, width_px=640, height_px=480, added_at=NOW
    )


def ask_for_evidence(unit) -> None:
    needs = {
        "P1": [{"kind": "observation"}],
        "P2": [{"kind": "readings", "at_least": 1}, {"kind": "photo", "at_least": 1}],
        "M1": [{"kind": "identification", "at_least": 1}, {"kind": "conclusion", "at_least": 20}],
        "D1": [{"kind": "own_rf", "at_least": 3}, {"kind": "evaluation", "at_least": 100}],
    }
    for code, asked in needs.items():
        Criterion.objects.filter(unit=unit, code=code).update(needs=asked)


def decide_all(submission: Submission, *, but: str = "D1") -> None:
    """Every criterion met but one; P2 was first not yet met."""
    by = submission.work.assessor
    at = submission.submitted_at + timedelta(days=1)
    for number, criterion in enumerate(submission.work.assignment.brief.criteria.all()):
        outcome = "not yet met" if criterion.code in (but, "P2") else "met"
        comment = f"Looked for {criterion.code} on the pages named.\n\nThe reason stands there in full."
        first = decide(
            by=by, submission=submission, criterion=criterion, outcome=outcome, comment=comment,
            valid=True, sufficient=True, now=at + timedelta(minutes=number),
        )  # fmt: skip
        if criterion.code == "P2":
            decide(
                by=by, submission=submission, criterion=criterion, outcome="met", comment="The unit stands.",
                valid=True, sufficient=True,
                reason="the unit was overlooked", seen_decision=first.uuid, now=at + timedelta(hours=1),
            )  # fmt: skip


def release_result(submission: Submission) -> None:
    by, at = submission.work.assessor, submission.submitted_at + timedelta(days=2)
    give_feedback(
        by=by, submission=submission, text="Sound work. Round, do not cut off.", seen_version=None, now=at
    )
    declare_assessor(by=by, submission=submission, authentic=True, current=True, now=at)
    release(by=by, submission=submission, now=at + timedelta(minutes=5))
