"""One of everything that an address can name: all belong to the cast's learner, class and session."""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from typing import Any

from assessment.actions.decide import decide
from assessment.actions.draw_sample import draw_sample
from assessment.actions.submit_work import submit_work
from assessment.models import (
    Attachment,
    CalendarDay,
    CriterionVerdict,
    DocumentJob,
    Feedback,
    ObservationRecord,
    ResubmissionGrant,
    Standardisation,
    VerificationAction,
    VerificationRecord,
    WitnessStatement,
    Work,
)
from practicals.actions.keep_file import keep_file
from practicals.actions.load_reference_values import load_reference_values
from practicals.models import LessonHelper, Paper, PaperPhoto, Role, User
from reagents.models import Batch, Container, Requisition, RequisitionLine
from tests.conftest import Cast
from tests.factories import NOW, make_assignment, make_class, make_readings, make_session, make_user
from tests.reagents.labelled import make_label_sheet


class World:
    """The records, and `kwargs(address)` for every address of the project."""

    def __init__(self, cast: Cast) -> None:
        self.cast = cast
        self.session = cast.session
        self.lesson = cast.session.lessons.get()
        self.paper = Paper.objects.get(group__session=cast.session, group__members__learner=cast.learner)
        self.readings = make_readings(self.paper, cast.learner, locked_at=NOW)
        self.photo = PaperPhoto.objects.create(
            paper=self.paper,
            learner=cast.learner,
            file=keep_file(content=b"\xff\xd8\xff a photo", media_type="image/jpeg", now=NOW),
            width_px=1,
            height_px=1,
            added_at=NOW,
        )
        self.reference = load_reference_values(by=None, now=NOW)[0]
        self._prepare()
        self._assess()
        self.lesson_staff = self._staff(self.lesson)
        elsewhere = make_class("Class 3C", teacher=cast.other_teacher)
        other = make_session(teacher=cast.other_teacher, teaching_class=elsewhere)
        self.other_lesson_staff = self._staff(other.lessons.get())

    def _staff(self, lesson: Any) -> User:
        person = make_user("", Role.LESSON_ONLY)
        LessonHelper.objects.create(lesson=lesson, user=person, part=LessonHelper.Part.SUPPORT)
        return person

    def _prepare(self) -> None:
        recipe = self.session.practical.mobile_phase
        self.requisition = Requisition.objects.create(
            title="Amino acids", room="Lab 2", needed_at=NOW, asked_by=self.cast.teacher, asked_at=NOW
        )
        self.session.requisition = self.requisition
        self.session.save()
        self.line = RequisitionLine.objects.create(
            requisition=self.requisition, order=1, recipe=recipe, total_ml=Decimal(100)
        )
        self.batch = Batch.objects.create(
            code="24N-AAA",
            recipe=recipe,
            line=self.line,
            made_at=NOW,
            made_by=self.cast.technician,
            initials="TT",
            total_ml=Decimal(100),
        )
        self.container = Container.objects.create(
            substance="butan-1-ol",
            unit="mL",
            received_amount=Decimal(500),
            remaining=Decimal(500),
            received_on=NOW.date(),
            place="Solvent cupboard",
            storage="flammable",
        )
        self.label_sheet = make_label_sheet()
        self.paper.chamber.batch, self.paper.chamber.filled_at = self.batch, NOW
        self.paper.chamber.filled_by = self.cast.technician
        self.paper.chamber.save()

    def _assess(self) -> None:
        cast = self.cast
        self.assignment = make_assignment(session=self.session, signed_off_by=cast.lead_verifier)
        self.unit = self.assignment.brief.unit
        self.work = Work.objects.get(assignment=self.assignment, learner=cast.learner)
        self.submission = submit_work(by=cast.learner, work=self.work, declared=True, now=NOW)
        for criterion in self.unit.criteria.all():
            decide(
                by=cast.teacher,
                submission=self.submission,
                criterion=criterion,
                outcome="met",
                comment="Seen.",
                valid=True,
                sufficient=True,
                now=NOW,
            )
        Feedback.objects.create(
            submission=self.submission, text="Seen.", by=cast.teacher, written_at=NOW, released_at=NOW
        )
        self.grant = ResubmissionGrant.objects.create(
            submission=self.submission, asked_by=cast.teacher, asked_at=NOW, asked_because="It was one slip."
        )
        self.observation = ObservationRecord.objects.create(
            session=self.session,
            learner=cast.learner,
            assessor=cast.teacher,
            did="Drew the origin in pencil after one wrong start.",
            written_at=NOW,
            signed_at=NOW,
        )
        self.statement = WitnessStatement.objects.create(
            session=self.session,
            learner=cast.learner,
            asked_by=cast.teacher,
            asked_at=NOW,
            witness=cast.technician,
            witness_role="technician",
        )
        self.attachment = Attachment.objects.create(
            work=self.work,
            kind=Attachment.Kind.REPORT,
            title="Report",
            file=keep_file(content=b"%PDF-1.7 a report", media_type="application/pdf", now=NOW),
            added_by=cast.learner,
            added_at=NOW,
        )
        self.calendar_day = CalendarDay.objects.create(
            day=NOW.date(), kind="closed", name="Training", added_by=cast.administrator, added_at=NOW
        )
        self.plan = draw_sample(by=cast.verifier, unit=self.unit, size=1, seed=1, stage="interim", now=NOW)
        self.sampled = self.plan.portfolios.get()
        self._verify()
        self.job = DocumentJob.objects.create(
            assignment=self.assignment,
            asked_by=cast.teacher,
            asked_at=NOW,
            wanted=1,
            done=1,
            finished_at=NOW + timedelta(minutes=1),
            file=keep_file(content=b"PK a set", media_type="application/zip", now=NOW),
        )

    def _verify(self) -> None:
        """A disagreement that was answered, and a standardisation that another teacher judges."""
        record = VerificationRecord.objects.create(
            sampled=self.sampled, verifier=self.cast.verifier, opened_at=NOW, signed_at=NOW
        )
        self.verdict = CriterionVerdict.objects.create(
            record=record,
            decision=self.submission.decisions.first(),
            verdict="disagree",
            comment="The front was not read.",
            at=NOW,
        )
        self.action = VerificationAction.objects.create(
            record=record,
            verdict=self.verdict,
            owner=self.cast.teacher,
            what="Look again.",
            due_on=NOW.date(),
            raised_by=self.cast.verifier,
            raised_at=NOW,
            answer="It stays.",
            answered_at=NOW,
        )
        self.standardisation = Standardisation.objects.create(
            unit=self.unit,
            title="Piece 1",
            piece=self.submission,
            opened_by=self.cast.verifier,
            opened_at=NOW,
            revealed_at=NOW,
        )
        self.standardisation.assessors.add(self.cast.other_teacher)

    def people(self) -> dict[str, User | None]:
        cast = self.cast
        return {
            "nobody": None,
            "teacher": cast.teacher,
            "other_teacher": cast.other_teacher,
            "technician": cast.technician,
            "learner": cast.learner,
            "at_the_bench": cast.learner,
            "group_mate": cast.group_mate,
            "rival": cast.rival,
            "stranger": cast.stranger,
            "verifier": cast.verifier,
            "lead_verifier": cast.lead_verifier,
            "administrator": cast.administrator,
            "lesson_staff": self.lesson_staff,
            "other_lesson_staff": self.other_lesson_staff,
        }

    def kwargs(self, address: str) -> dict[str, Any]:
        """What the address names, if anything; one special case per line, else by its journey."""
        special: dict[str, Callable[[], dict[str, Any]]] = {
            "people:account": lambda: {"uuid": self.cast.learner.uuid},
            "people:erase": lambda: {"uuid": self.cast.learner.uuid},
            "people:class": lambda: {"uuid": self.cast.teaching_class.uuid},
            "people:class_teachers": lambda: {"uuid": self.cast.teaching_class.uuid},
            "plan:practical": lambda: {"uuid": self.session.practical.uuid},
            "plan:published": lambda: {"uuid": self.session.practical.uuid},
            "plan:add_reference": lambda: {"uuid": self.session.practical.uuid},
            "plan:withdraw_reference": lambda: {
                "uuid": self.session.practical.uuid,
                "value": self.reference.uuid,
            },
            "plan:edit_practical": lambda: {"uuid": self.session.practical.uuid},
            "plan:reissue": lambda: {"uuid": self.session.uuid, "learner": self.cast.learner.uuid},
            "plan:key": lambda: {"uuid": self.requisition.uuid},
            "plan:lesson_staff": lambda: {"uuid": self.lesson.uuid},
            "board:register": lambda: {"uuid": self.lesson.uuid},
            "board:paper": lambda: {"uuid": self.paper.uuid},
            "board:no_result": lambda: {"uuid": self.paper.uuid},
            "board:front": lambda: {"uuid": self.paper.uuid},
            "board:photo": lambda: {"uuid": self.photo.uuid},
            "board:learner": lambda: {"uuid": self.session.uuid, "learner": self.cast.learner.uuid},
            "board:note": lambda: {"uuid": self.session.uuid, "learner": self.cast.learner.uuid},
            "board:give_paper": lambda: {"uuid": self.session.uuid, "learner": self.cast.learner.uuid},
            "board:release_help": lambda: {"uuid": self.session.uuid, "learner": self.cast.learner.uuid},
            "board:batch_papers": lambda: {"uuid": self.batch.uuid},
            "board:same_figures": lambda: {"uuid": self.paper.uuid},
            "bench:session": lambda: {"uuid": self.session.uuid},
            "bench:results": lambda: {"uuid": self.session.uuid},
            "bench:photo": lambda: {"uuid": self.photo.uuid},
            "prep:day": lambda: {"date": NOW.date()},
            "prep:day_pdf": lambda: {"date": NOW.date()},
            "prep:week": lambda: {"date": NOW.date()},
            "prep:week_pdf": lambda: {"date": NOW.date()},
            "prep:record_batch": lambda: {"uuid": self.line.uuid},
            "prep:batch": lambda: {"uuid": self.batch.uuid},
            "prep:recall_batch": lambda: {"uuid": self.batch.uuid},
            "prep:labels": lambda: {"uuid": self.batch.uuid},
            "prep:labels_pdf": lambda: {"uuid": self.batch.uuid},
            "prep:label_sheet": lambda: {"uuid": self.label_sheet.uuid},
            "prep:withdraw_label_sheet": lambda: {"uuid": self.label_sheet.uuid},
            "prep:label_frames": lambda: {"uuid": self.label_sheet.uuid},
            "attempts:extension": lambda: {"uuid": self.work.uuid},
            "attempts:attach": lambda: {"uuid": self.work.uuid},
            "attempts:ask": lambda: {"uuid": self.submission.uuid},
            "attempts:attachment": lambda: {"uuid": self.attachment.uuid},
            "attempts:withdraw_attachment": lambda: {"uuid": self.attachment.uuid},
            "attempts:withdraw_day": lambda: {"uuid": self.calendar_day.uuid},
            "briefs:unit": lambda: {"uuid": self.unit.uuid},
            "briefs:issue": lambda: {"uuid": self.assignment.uuid},
            "briefs:assignment_pdf": lambda: {"uuid": self.assignment.uuid},
            "briefs:my_brief": lambda: {"uuid": self.work.uuid},
            "marking:assignment": lambda: {"uuid": self.assignment.uuid},
            "marking:run": lambda: {"uuid": self.assignment.uuid, "code": "P1"},
            "marking:release_ready": lambda: {"uuid": self.assignment.uuid},
            "marking:evidence": lambda: {"uuid": self.assignment.uuid},
            "marking:summary": lambda: {"uuid": self.assignment.uuid},
            "marking:fair": lambda: {"uuid": self.assignment.uuid},
            "marking:class_set": lambda: {"uuid": self.assignment.uuid},
            "marking:class_set_file": lambda: {"uuid": self.job.uuid},
            "observation:session": lambda: {"uuid": self.session.uuid},
            "observation:record": lambda: {"uuid": self.session.uuid, "learner": self.cast.learner.uuid},
            "observation:ask": lambda: {"uuid": self.session.uuid, "learner": self.cast.learner.uuid},
            "observation:mine": lambda: {"uuid": self.observation.uuid},
            "observation:withdraw": lambda: {"uuid": self.observation.uuid},
            "observation:record_pdf": lambda: {"uuid": self.observation.uuid},
            "verify:plan": lambda: {"uuid": self.plan.uuid},
            "verify:widen": lambda: {"uuid": self.plan.uuid},
            "verify:sign_off": lambda: {"uuid": self.plan.uuid},
            "verify:report_pdf": lambda: {"uuid": self.plan.uuid},
            "verify:answer": lambda: {"uuid": self.action.uuid},
            "verify:action": lambda: {"uuid": self.action.uuid},
            "verify:third_opinion": lambda: {"uuid": self.verdict.uuid},
        }
        if address in special:
            return special[address]()
        usual = {
            "plan": self.session.uuid,
            "board": self.session.uuid,
            "bench": self.paper.uuid,
            "prep": self.requisition.uuid,
            "stock": self.container.uuid,
            "briefs": self.assignment.brief.uuid,
            "marking": self.work.uuid,
            "my_work": self.work.uuid,
            "verify": self.sampled.uuid,
            "standardise": self.standardisation.uuid,
            "attempts": self.grant.uuid,
            "observation": self.statement.uuid,
            "exchange": self.assignment.uuid,
        }
        return {"uuid": usual.get(address.partition(":")[0])}
