"""Pages about what was seen at the bench, as each person meets them."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from assessment.actions.accept_statement import accept_statement
from assessment.actions.check_document import check_document
from assessment.models import IssuedDocument, ObservationRecord, WitnessStatement
from practicals.models import BenchNote, Role
from tests.assessment.handed_in import hand_in, issued, work_of
from tests.assessment.observing import DID, ITEM, ask_to_observe, asked, observe, witnessed
from tests.documents.reading import attachments, open_pdf, page_texts
from tests.factories import NOW, make_assignment, make_class, make_session, make_user


@pytest.fixture
def assignment(cast):
    found = issued(cast)
    ask_to_observe()
    return found


def send(client, url, **values):
    return client.post(url, {"once": str(uuid4()), **values})


def page(session, learner):
    return reverse("observation:record", args=[session.uuid, learner.uuid])


def text_of(answer):
    return answer.content.decode()


def p1(assignment):
    return assignment.brief.criteria.get(code="P1").pk


def test_one_learner_after_the_other_with_notes_ticked_beforehand(cast, as_, assignment):
    note = BenchNote.objects.create(
        session=cast.session, learner=cast.learner, by=cast.teacher, at=NOW, text="P1: drew in pencil"
    )
    teacher = as_(cast.teacher)
    board = text_of(teacher.get(reverse("board:board", args=[cast.session.uuid])))
    assert reverse("observation:session", args=[cast.session.uuid]) in board
    shown = teacher.get(page(cast.session, cast.learner))
    assert shown.context["form"].initial["notes"] == [note.pk]
    assert shown.context["form"].initial["criteria"] == [p1(assignment)]
    assert ITEM in text_of(shown)
    answer = send(
        teacher,
        page(cast.session, cast.learner),
        notes=[note.pk],
        items=[f"{p1(assignment)}-0"],
        criteria=[p1(assignment)],
        did=DID,
        seen_version="0",
        do="sign and next",
    )
    record = ObservationRecord.objects.get()
    assert (record.signed_at is not None, list(record.notes.all())) == (True, [note])
    assert answer.status_code == 302
    assert answer["Location"] == page(cast.session, shown.context["following"].learner)
    listed = text_of(teacher.get(reverse("observation:session", args=[cast.session.uuid])))
    assert "waits for the learner" in listed


def test_ticks_alone_come_back_with_what_was_ticked(cast, as_, assignment):
    answer = send(
        as_(cast.teacher),
        page(cast.session, cast.learner),
        items=[f"{p1(assignment)}-0"],
        did=" ",
        seen_version="0",
        do="sign",
    )
    assert answer.status_code == 200
    assert "Ticks alone cannot be signed" in text_of(answer)
    assert "checked" in text_of(answer)
    assert not ObservationRecord.objects.exists()


@pytest.mark.parametrize(
    "values",
    [
        {"criteria": ["x"]},
        {"criteria": ["999999"]},
        {"items": ["1-9"]},
        {"notes": ["1e9"]},
        {"seen_version": "-1"},
        {"did": "x" * 4001},
        {"do": "shred"},
    ],
)
def test_bad_input_never_breaks_the_page(cast, as_, assignment, values):
    BenchNote.objects.create(session=cast.session, learner=cast.learner, by=cast.teacher, at=NOW, text="Seen")
    sent = {"did": DID, "criteria": [p1(assignment)], "seen_version": "0", "do": "sign", **values}
    answer = send(as_(cast.teacher), page(cast.session, cast.learner), **sent)
    assert answer.status_code in {200, 302}
    assert ObservationRecord.objects.exclude(signed_at=None).count() == 0


def test_the_same_words_for_many_are_warned_about_and_not_refused(cast, as_, assignment):
    observe(cast.session, cast.rival, did=f"{cast.rival.name} {DID}")
    answer = send(
        as_(cast.teacher),
        page(cast.session, cast.learner),
        criteria=[p1(assignment)],
        did=f"{cast.learner.name}: {DID.lower()}",
        seen_version="0",
        do="sign",
    )
    assert ObservationRecord.objects.get(learner=cast.learner).signed_at
    shown = text_of(as_(cast.teacher).get(answer["Location"]))
    listed = text_of(as_(cast.teacher).get(reverse("observation:session", args=[cast.session.uuid])))
    assert "A verifier will ask" in listed
    assert "This record as PDF" in shown


def test_a_second_tab_is_shown_both_texts(cast, as_, assignment):
    observe(cast.session, cast.learner, did="What the first tab said of them.", sign=False)
    answer = send(
        as_(cast.teacher),
        page(cast.session, cast.learner),
        criteria=[p1(assignment)],
        did="What the second tab says.",
        seen_version="0",
        do="save",
    )
    assert answer.status_code == 409
    assert "What the first tab said of them." in text_of(answer)
    assert "What the second tab says." in text_of(answer)


def test_the_learner_reads_comments_and_signs(cast, as_, assignment):
    record = observe(cast.session, cast.learner)
    learner = as_(cast.learner)
    mine = reverse("observation:mine", args=[record.uuid])
    assert mine in text_of(learner.get(reverse("home:home")))
    work = work_of(assignment, cast.learner)
    assert mine in text_of(learner.get(reverse("my_work:work", args=[work.uuid])))
    assert send(learner, mine, comment="I closed it as well.").status_code == 302
    again = send(learner, mine, comment="And more")
    assert "signed this record before" in text_of(again)
    record.refresh_from_db()
    assert record.learner_comment == "I closed it as well."
    assert mine not in text_of(learner.get(reverse("home:home")))
    teachers = text_of(as_(cast.teacher).get(page(cast.session, cast.learner)))
    assert "I closed it as well." in teachers


def test_withdrawn_and_written_again(cast, as_, assignment):
    record = observe(cast.session, cast.learner)
    teacher = as_(cast.teacher)
    send(teacher, reverse("observation:withdraw", args=[record.uuid]), reason="Mixed up two learners")
    shown = text_of(teacher.get(page(cast.session, cast.learner)))
    assert "Mixed up two learners" in shown
    assert "<textarea" in shown
    assert as_(cast.learner).get(reverse("observation:mine", args=[record.uuid])).status_code == 404


def test_a_technician_sees_the_learners_name_in_the_statement_and_nowhere_else(cast, as_, assignment):
    teacher = as_(cast.teacher)
    sent = send(
        teacher,
        reverse("observation:ask", args=[cast.session.uuid, cast.learner.uuid]),
        witness=cast.technician.pk,
        criteria=[p1(assignment)],
        asked_for="How the chamber was closed.",
    )
    assert sent.status_code == 302
    statement = WitnessStatement.objects.get()
    technician = as_(cast.technician)
    address = reverse("observation:statement", args=[statement.uuid])
    assert address in text_of(technician.get(reverse("home:home")))
    shown = text_of(technician.get(address))
    assert cast.learner.name in shown
    for other in (cast.group_mate, cast.rival):
        assert f"{other.name}<" not in shown
        assert f"{other.name}." not in shown
    for name in ("prep:week", "board:chambers"):
        url = reverse(name, args=[NOW.date()] if name == "prep:week" else [cast.session.uuid])
        assert cast.learner.name not in text_of(technician.get(url))
    send(technician, address, witness_role="technician", saw=DID, seen_version="1", do="sign")
    answer = reverse("observation:answer", args=[statement.uuid])
    assert answer in text_of(teacher.get(reverse("home:home")))
    assert DID in text_of(teacher.get(answer))
    send(teacher, answer, worth="Bears out my own record.")
    statement.refresh_from_db()
    assert (statement.accepted_by, statement.worth) == (cast.teacher, "Bears out my own record.")


def test_an_assessor_reads_a_statement_once_it_is_signed(cast, as_, assignment):
    statement = asked(cast.session, cast.learner, cast.technician)
    address = reverse("observation:statement", args=[statement.uuid])
    send(as_(cast.technician), address, witness_role="technician", saw="half a", seen_version="1", do="save")
    shown = text_of(as_(cast.teacher).get(reverse("observation:answer", args=[statement.uuid])))
    assert "half a" not in shown
    assert "has not signed it yet" in shown
    stale = send(as_(cast.technician), address, witness_role="x", saw="older", seen_version="1", do="save")
    assert stale.status_code == 409
    assert "half a" in text_of(stale)
    assert "older" in text_of(stale)


def test_what_was_seen_stands_wherever_the_portfolio_is_read(cast, as_, assignment):
    observe(cast.session, cast.learner, both=True)
    statement = witnessed(cast.session, cast.learner, cast.technician)
    accept_statement(by=cast.teacher, statement=statement, worth="Bears out P1.", now=NOW)
    work = work_of(assignment, cast.learner)
    teacher = as_(cast.teacher)
    marking = reverse("marking:work", args=[work.uuid])
    before = text_of(teacher.get(marking))
    hand_in(work)
    for shown in (before, text_of(teacher.get(marking))):
        assert DID in shown
        assert "An observation record names P1." in shown
        assert "Bears out P1." in shown
    mine = text_of(as_(cast.learner).get(reverse("my_work:work", args=[work.uuid])))
    assert DID in mine
    portfolio = teacher.get(reverse("marking:portfolio", args=[work.uuid]))
    text = " ".join(page_texts(portfolio.content))
    assert DID in text
    assert "checked that the paper hung free" in text
    assert {"observation.json", "witness.json"} <= set(attachments(portfolio.content))
    own = as_(cast.learner).get(reverse("my_work:portfolio", args=[work.uuid]))
    assert DID in " ".join(page_texts(own.content))
    assert "witness.json" not in attachments(own.content)


def test_a_record_signed_after_the_work_was_handed_in_is_shown_as_no_part_of_it(cast, as_, assignment):
    work = work_of(assignment, cast.learner)
    teacher = as_(cast.teacher)
    marking = reverse("marking:work", args=[work.uuid])
    assert page(cast.session, cast.learner) in text_of(teacher.get(marking))
    submission = hand_in(work)
    record = observe(cast.session, cast.learner)
    ObservationRecord.objects.update(signed_at=submission.submitted_at + timedelta(hours=1))
    shown = text_of(teacher.get(marking))
    assert "Signed since this was handed in" in shown
    assert reverse("observation:record_pdf", args=[record.uuid]) in shown
    assert DID not in shown
    assert "Nobody has recorded an observation for P1." in shown


def test_a_draft_may_be_ticks_alone(cast, as_, assignment):
    item = f"{p1(assignment)}-0"
    send(as_(cast.teacher), page(cast.session, cast.learner), items=[item], seen_version="0", do="save")
    record = ObservationRecord.objects.get()
    assert (record.did, record.signed_at, record.items) == ("", None, [{"code": "P1", "text": ITEM}])
    shown = as_(cast.teacher).get(page(cast.session, cast.learner))
    assert shown.context["form"].initial["items"] == [item]


def test_both_documents_are_issued_and_checked(cast, as_, assignment):
    record = observe(cast.session, cast.learner, both=True)
    statement = witnessed(cast.session, cast.learner, cast.technician)
    teacher = as_(cast.teacher)
    for name, kind, one, words in (
        ("record_pdf", "observation record", record, [DID, "It was so.", cast.teacher.name]),
        ("statement_pdf", "witness statement", statement, ["the paper hung free", cast.technician.name]),
    ):
        url = reverse(f"observation:{name}", args=[one.uuid])
        first, second = teacher.get(url).content, teacher.get(url).content
        assert first == second
        text = " ".join(page_texts(first))
        assert all(word in text for word in words)
        kept = IssuedDocument.objects.get(kind=kind)
        assert kept.evidence_sha256 in text.replace(" ", "")
        assert check_document(content=first).verdict == "unaltered"
        assert check_document(content=first.replace(b"PDF-1", b"PDF-2", 1)).verdict != "unaltered"
        with open_pdf(first) as pdf:
            assert str(pdf.Root.Lang) == "en-GB"
            assert pdf.Root.MarkInfo.Marked


def test_a_list_of_thirty_needs_no_more_queries_than_one_of_three(centre, as_, django_assert_max_num_queries):
    def made(learners):
        teacher = make_user("", Role.TEACHER)
        session = make_session(teacher=teacher, teaching_class=make_class(teacher=teacher, learners=learners))
        unit = make_assignment(session=session, signed_off_by=make_user("", Role.VERIFIER)).brief.unit
        for member in session.members.all():
            BenchNote.objects.create(
                session=session, learner=member.learner, by=teacher, at=NOW, text="P1: seen"
            )
            record = ObservationRecord.objects.create(
                session=session,
                learner=member.learner,
                assessor=teacher,
                did=f"Said of {member.learner}",
                written_at=NOW,
                signed_at=NOW,
            )
            record.criteria.set(unit.criteria.all()[:1])
        client = as_(teacher)
        addresses = [
            reverse("observation:session", args=[session.uuid]),
            page(session, session.members.first().learner),
        ]
        counts = []
        for address in addresses:
            client.get(address)
            with django_assert_max_num_queries(60) as seen:
                client.get(address)
            counts.append(len(seen))
        return counts

    assert made(3) == made(30)
