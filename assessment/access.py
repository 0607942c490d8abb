"""Who may do what in `assessment`, what each address needs, and what a person may see."""

from typing import Any
from uuid import UUID

from django.db.models import F, Q, QuerySet

from assessment.models import (
    Assignment,
    Attachment,
    Brief,
    CriterionVerdict,
    ObservationRecord,
    ResubmissionGrant,
    SampledPortfolio,
    SamplingPlan,
    Standardisation,
    Submission,
    VerificationAction,
    WitnessStatement,
    Work,
)
from assessment.models.brief import AssignmentQuerySet, BriefQuerySet
from assessment.models.evidence import WorkQuerySet
from practicals.access import endable_sessions
from practicals.models import Role, Session
from reagents.access import ANYONE, Rule, holding

VERIFIERS = (Role.VERIFIER, Role.LEAD_VERIFIER)

PERMISSIONS: dict[str, Rule] = {
    "assessment.see_units": holding(Role.TEACHER, *VERIFIERS),
    "assessment.add_unit": holding(Role.TEACHER, Role.LEAD_VERIFIER),
    "assessment.see_briefs": holding(Role.TEACHER, *VERIFIERS),
    "assessment.write_brief": holding(Role.TEACHER),
    "assessment.sign_off_brief": holding(*VERIFIERS),
    "assessment.make_assignment": holding(Role.TEACHER),
    "assessment.decide": holding(Role.TEACHER),
    "assessment.do_work": holding(Role.LEARNER),
    "assessment.read_attachment": holding(Role.LEARNER, Role.TEACHER, *VERIFIERS),
    "assessment.see_policy": holding(Role.TEACHER, Role.ADMINISTRATOR, *VERIFIERS),
    "assessment.set_policy": holding(Role.LEAD_VERIFIER, Role.ADMINISTRATOR),
    "assessment.keep_calendar": holding(Role.LEAD_VERIFIER, Role.ADMINISTRATOR),
    "assessment.authorise_resubmission": holding(Role.LEAD_VERIFIER),
    "assessment.observe": holding(Role.TEACHER),
    "assessment.sign_observation": holding(Role.LEARNER),
    "assessment.read_observation": holding(Role.LEARNER, Role.TEACHER),
    # Whoever was there may have seen it: everybody but a learner.
    "assessment.witness": holding(*(role for role in Role.values if role != Role.LEARNER)),
    "assessment.draw_sample": holding(*VERIFIERS),
    "assessment.verify": holding(*VERIFIERS),
    "assessment.sign_off_sample": holding(*VERIFIERS),
    "assessment.answer_action": holding(Role.TEACHER),
    "assessment.standardise": holding(*VERIFIERS),
    "assessment.judge_blind": holding(Role.TEACHER, *VERIFIERS),
}

URLS: dict[str, str] = {
    "briefs:units": "assessment.see_units",
    "briefs:unit": "assessment.see_units",
    "briefs:add_unit": "assessment.add_unit",
    "briefs:import_unit": "assessment.add_unit",
    "briefs:type_unit": "assessment.add_unit",
    "briefs:briefs": "assessment.see_briefs",
    "briefs:brief": "assessment.see_briefs",
    "briefs:write_brief": "assessment.write_brief",
    "briefs:edit_brief": "assessment.write_brief",
    "briefs:sign_off": "assessment.sign_off_brief",
    "briefs:brief_pdf": "assessment.see_briefs",
    "briefs:assignment_pdf": "assessment.make_assignment",
    "briefs:my_brief": "assessment.do_work",
    "briefs:new_assignment": "assessment.make_assignment",
    "briefs:issue": "assessment.make_assignment",
    "marking:assignments": "assessment.decide",
    "marking:assignment": "assessment.decide",
    "marking:work": "assessment.decide",
    "marking:decide": "assessment.decide",
    "marking:feedback": "assessment.decide",
    "marking:release": "assessment.decide",
    "marking:declare": "assessment.decide",
    "marking:release_ready": "assessment.decide",
    "marking:run": "assessment.decide",
    "marking:evidence": "assessment.decide",
    "marking:summary": "assessment.decide",
    "marking:fair": "assessment.decide",
    "marking:feedback_record": "assessment.decide",
    "marking:portfolio": "assessment.decide",
    "marking:class_set": "assessment.decide",
    "marking:class_set_file": "assessment.decide",
    "attempts:extension": "assessment.decide",
    "attempts:ask": "assessment.decide",
    "attempts:requests": "assessment.authorise_resubmission",
    "attempts:answer": "assessment.authorise_resubmission",
    "attempts:refuse": "assessment.authorise_resubmission",
    "attempts:attach": "assessment.do_work",
    "attempts:attachment": "assessment.read_attachment",
    "attempts:withdraw_attachment": "assessment.do_work",
    "attempts:policy": "assessment.see_policy",
    "attempts:edit_policy": "assessment.set_policy",
    "attempts:calendar": "assessment.see_policy",
    "attempts:withdraw_day": "assessment.keep_calendar",
    "observation:session": "assessment.observe",
    "observation:record": "assessment.observe",
    "observation:withdraw": "assessment.observe",
    "observation:record_pdf": "assessment.read_observation",
    "observation:mine": "assessment.sign_observation",
    "observation:ask": "assessment.observe",
    "observation:answer": "assessment.observe",
    "observation:withdraw_statement": "assessment.observe",
    "observation:statement": "assessment.witness",
    "observation:statement_pdf": "assessment.witness",
    "exchange:csv": "assessment.decide",
    "exchange:xlsx": "assessment.decide",
    "exchange:roster_results": "assessment.decide",
    "my_work:works": "assessment.do_work",
    "my_work:work": "assessment.do_work",
    "my_work:submit": "assessment.do_work",
    "my_work:portfolio": "assessment.do_work",
    "my_work:feedback_record": "assessment.do_work",
    "verify:plans": "assessment.draw_sample",
    "verify:draw": "assessment.draw_sample",
    "verify:plan": "assessment.draw_sample",
    "verify:portfolio": "assessment.verify",
    "verify:sign": "assessment.verify",
    "verify:portfolio_pdf": "assessment.verify",
    "verify:raise": "assessment.verify",
    "verify:record_pdf": "assessment.verify",
    "verify:widen": "assessment.draw_sample",
    "verify:sign_off": "assessment.sign_off_sample",
    "verify:report_pdf": "assessment.draw_sample",
    "verify:my_actions": "assessment.answer_action",
    "verify:answer": "assessment.answer_action",
    "verify:action": "assessment.verify",
    "verify:third_opinion": "assessment.verify",
    "verify:check": ANYONE,
    "standardise:standardisations": "assessment.judge_blind",
    "standardise:open": "assessment.standardise",
    "standardise:piece": "assessment.judge_blind",
    "standardise:reveal": "assessment.standardise",
    "standardise:agreed": "assessment.standardise",
}


def readable_briefs(user: Any) -> BriefQuerySet:
    return Brief.objects.all() if user.has_perm("assessment.see_briefs") else Brief.objects.none()


def readable_assignments(user: Any) -> AssignmentQuerySet:
    """A teacher's own: as assessor, or of a class they teach."""
    if not user.holds(Role.TEACHER):
        return Assignment.objects.none()
    return Assignment.objects.filter(
        Q(assessor=user) | Q(teaching_class__teachers=user) | Q(works__assessor=user)
    ).distinct()


def decidable_works(user: Any) -> WorkQuerySet:
    """Work that a teacher assesses."""
    return Work.objects.filter(assessor=user) if user.holds(Role.TEACHER) else Work.objects.none()


def readable_works(user: Any) -> WorkQuerySet:
    """A teacher reads the work they assess and that of classes they teach."""
    if not user.holds(Role.TEACHER):
        return Work.objects.none()
    return Work.objects.filter(Q(assessor=user) | Q(assignment__teaching_class__teachers=user)).distinct()


def own_works(user: Any) -> QuerySet[Work]:
    """A learner's own; at the bench only what draws on the session that the code opened."""
    if not user.holds(Role.LEARNER):
        return Work.objects.none()
    mine = Work.objects.filter(learner=user, assignment__issued_at__isnull=False)
    if user.bench_session:
        return mine.filter(_drawn_on(user, user.bench_session)).distinct()
    return mine


def own_works_drawing_on(user: Any, session: UUID) -> QuerySet[Work]:
    """A learner's own that draw on one session, or on one that they caught up on in it."""
    return own_works(user).filter(_drawn_on(user, session)).distinct()


def _drawn_on(user: Any, session: UUID) -> Q:
    caught_up = "assignment__sessions__catching_up_elsewhere"
    return Q(assignment__sessions__uuid=session) | Q(
        **{f"{caught_up}__session__uuid": session, f"{caught_up}__learner": user}
    )


def verifiable_submissions(user: Any) -> QuerySet[Submission]:
    """What a verifier may draw from: decided work, but nothing they decided themselves."""
    if not user.has_perm("assessment.verify"):
        return Submission.objects.none()
    return (
        Submission.objects.filter(decisions__isnull=False)
        .exclude(decisions__assessor=user)
        .exclude(work__assessor=user)
        .distinct()
    )


def own_decided_submissions(user: Any) -> QuerySet[Submission]:
    """What a verifier never draws from: decided work with a part of their own in it."""
    own = Q(decisions__assessor=user) | Q(work__assessor=user)
    return Submission.objects.filter(decisions__isnull=False).filter(own).distinct()


def answerable_grants(user: Any) -> QuerySet[ResubmissionGrant]:
    """Requests for a resubmission that this lead verifier may answer: never their own learners'."""
    if not user.has_perm("assessment.authorise_resubmission"):
        return ResubmissionGrant.objects.none()
    return ResubmissionGrant.objects.exclude(asked_by=user).exclude(submission__work__assessor=user)


def readable_attachments(user: Any) -> QuerySet[Attachment]:
    """The learner's own, their assessor's, and those of portfolios that a verifier may open."""
    sampled = verifiable_portfolios(user).values("submission__work")
    works = own_works(user).values("pk"), readable_works(user).values("pk"), sampled
    reach = Q()
    for found in works:
        reach |= Q(work__in=found)
    return Attachment.objects.filter(reach).select_related("file")


def readable_plans(user: Any) -> QuerySet[SamplingPlan]:
    return (
        SamplingPlan.objects.all() if user.has_perm("assessment.draw_sample") else SamplingPlan.objects.none()
    )


def verifiable_portfolios(user: Any) -> QuerySet[SampledPortfolio]:
    """Sampled portfolios that this verifier may open: none with a decision of their own."""
    return SampledPortfolio.objects.filter(submission__in=verifiable_submissions(user))


def own_actions(user: Any) -> QuerySet[VerificationAction]:
    """What verification asks of this assessor."""
    if not user.has_perm("assessment.answer_action"):
        return VerificationAction.objects.none()
    return VerificationAction.objects.filter(owner=user)


def closable_actions(user: Any) -> QuerySet[VerificationAction]:
    """Actions that this verifier may read and close: never their own."""
    sampled = verifiable_portfolios(user).values("pk")
    return VerificationAction.objects.filter(record__sampled__in=sampled).exclude(owner=user)


def verdicts_for_a_third(user: Any) -> QuerySet[CriterionVerdict]:
    """Answered disagreements without a third opinion, of neither of the two who differ."""
    return (
        CriterionVerdict.objects.filter(
            record__sampled__in=verifiable_portfolios(user).values("pk"),
            record__signed_at__isnull=False,
            verdict=CriterionVerdict.Verdict.DISAGREE,
            third_opinion=None,
            actions__answered_at__isnull=False,
            actions__closed_at=None,
        )
        .exclude(assessor=user)
        .exclude(verifier=user)
        .distinct()
    )


def readable_standardisations(user: Any) -> QuerySet[Standardisation]:
    """Verifiers see all; others those that they were asked to judge."""
    if user.has_perm("assessment.standardise"):
        return Standardisation.objects.all()
    if not user.has_perm("assessment.judge_blind"):
        return Standardisation.objects.none()
    return Standardisation.objects.filter(assessors=user)


def observable_sessions(user: Any) -> QuerySet[Session]:
    """Sessions in which a teacher may write records: those they lead, and those whose work they assess."""
    if not user.holds(Role.TEACHER):
        return Session.objects.none()
    assessed = Q(assignments__works__assessor=user) | Q(
        members__home_session__assignments__works__assessor=user
    )
    lead = Q(pk__in=endable_sessions(user).values("pk"))
    return Session.objects.filter(lead | assessed, withdrawn_at=None).distinct()


def works_observed(user: Any, session: Session) -> WorkQuerySet:
    """Work that this assessor decides of learners who were in the session, those catching up included."""
    caught_up = "assignment__sessions__catching_up_elsewhere"
    here = Q(assignment__sessions=session, learner__memberships__session=session)
    elsewhere = Q(**{f"{caught_up}__session": session, f"{caught_up}__learner": F("learner")})
    found: WorkQuerySet = decidable_works(user).filter(here | elsewhere).distinct()
    return found


def written_observations(user: Any) -> QuerySet[ObservationRecord]:
    """An assessor's own, those withdrawn included."""
    if not user.has_perm("assessment.observe"):
        return ObservationRecord.objects.none()
    return ObservationRecord.objects.filter(assessor=user)


def own_observations(user: Any) -> QuerySet[ObservationRecord]:
    """Records on a learner that their assessor has signed; at the bench those of the session there."""
    if not user.has_perm("assessment.sign_observation"):
        return ObservationRecord.objects.none()
    mine = ObservationRecord.objects.standing().filter(learner=user, signed_at__isnull=False)
    return mine.filter(session__uuid=user.bench_session) if user.bench_session else mine


def own_observations_for(user: Any, work: Work) -> QuerySet[ObservationRecord]:
    """Those of the sessions on which one work draws, catch-ups included."""
    assignment = {"session__assignments": work.assignment_id}
    caught_up = {
        "session__members__home_session__assignments": work.assignment_id,
        "session__members__learner": user,
    }
    return own_observations(user).filter(Q(**assignment) | Q(**caught_up)).distinct()


def readable_observations(user: Any) -> QuerySet[ObservationRecord]:
    reach = written_observations(user).values("pk"), own_observations(user).values("pk")
    return ObservationRecord.objects.filter(Q(pk__in=reach[0]) | Q(pk__in=reach[1]))


def statements_to_write(user: Any) -> QuerySet[WitnessStatement]:
    """What a witness was asked for: these statements, and nothing else of the learner."""
    if not user.has_perm("assessment.witness"):
        return WitnessStatement.objects.none()
    return WitnessStatement.objects.standing().filter(witness=user)


def asked_statements(user: Any) -> QuerySet[WitnessStatement]:
    """Statements that this assessor asked somebody for, those withdrawn included."""
    if not user.has_perm("assessment.observe"):
        return WitnessStatement.objects.none()
    return WitnessStatement.objects.filter(asked_by=user)


def readable_statements(user: Any) -> QuerySet[WitnessStatement]:
    reach = statements_to_write(user).values("pk"), asked_statements(user).values("pk")
    return WitnessStatement.objects.filter(Q(pk__in=reach[0]) | Q(pk__in=reach[1]))
