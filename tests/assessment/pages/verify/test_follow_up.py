"""What follows the verdicts, as clicked: actions, third opinion, widening, sign-off, reports."""

import re
import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from assessment.actions.draw_sample import draw_sample
from assessment.actions.give_verdict import give_verdict
from assessment.actions.open_record import open_record
from assessment.models import Decision, IssuedDocument, SampleSignOff, SamplingPlan, VerificationAction
from tests.assessment.handed_in import LATER, decided_class

SOUND = {"evidence": "sound", "feedback": "sound", "records": "sound"}
WIDEN = {"size_by": "number", "size": "1", "seed": "3", "reason": "An error of principle."}


@pytest.fixture
def plan(cast):
    found = decided_class(4, verifier=cast.verifier, teacher=cast.teacher)
    unit = found[0].work.assignment.brief.unit
    return draw_sample(by=cast.verifier, unit=unit, size=1, seed=7, stage="interim", strata=[], now=LATER)


@pytest.fixture
def portfolio(cast, plan):
    """All judged, one decision questioned, not signed."""
    found = plan.portfolios.get()
    record = open_record(by=cast.verifier, sampled=found, now=LATER)
    for number, decision in enumerate(found.submission.decisions.filter(is_current=True)):
        verdict, comment = ("agree", "") if number else ("disagree", "The front was not read.")
        give_verdict(
            by=cast.verifier, record=record, decision=decision, verdict=verdict, comment=comment, now=LATER
        )
    return found


def page(name, record):
    return reverse(f"verify:{name}", args=[record.uuid])


def send(client, url, **typed):
    return client.post(url, {"once": str(uuid.uuid4()), **typed})


def words(response):
    text = re.sub(r"<svg.*?</svg>", " ", response.content.decode(), flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text))


def due(days=7):
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def signing(portfolio, **more):
    pk = portfolio.record.verdicts.get(verdict="disagree").pk
    return {
        **SOUND,
        f"what_{pk}": "Read the front again.",
        f"due_{pk}": due(),
        f"principle_{pk}": "on",
        **more,
    }


def raised(client, portfolio):
    assert send(client, page("sign", portfolio), **signing(portfolio)).status_code == 302
    return VerificationAction.objects.get()


def test_signing_asks_for_the_quality_and_for_an_action_on_each_disagreement(cast, as_, portfolio):
    client = as_(cast.verifier)
    url = page("sign", portfolio)
    text = words(client.get(url))
    assert f"what {cast.teacher} is to do" in text
    refused = words(send(client, url, **SOUND))
    assert "Give the day by which it is to be done." in refused
    assert "The evidence: say how good it is." in words(send(client, url))
    action = raised(client, portfolio)
    assert action.of_principle
    assert action.owner == cast.teacher


@pytest.mark.parametrize("value", ["", "soon", "31/02/2027", "2020-01-01", "1e9", "99999-01-01", "2,5"])
def test_a_day_that_is_none_comes_back_with_a_sentence(cast, as_, portfolio, value):
    pk = portfolio.record.verdicts.get(verdict="disagree").pk
    answer = send(as_(cast.verifier), page("sign", portfolio), **signing(portfolio, **{f"due_{pk}": value}))
    assert answer.status_code == 200
    assert answer.context["form"].errors
    assert "Read the front again." in words(answer)
    assert not VerificationAction.objects.exists()


def test_an_action_from_the_assessor_s_answer_to_its_closing(cast, as_, portfolio):
    verifier, teacher = as_(cast.verifier), as_(cast.teacher)
    action = raised(verifier, portfolio)
    before = list(Decision.objects.order_by("pk").values())
    assert "to answer" in words(teacher.get(reverse("verify:my_actions")))
    url = page("answer", action)
    assert "take a new one on the learner’s page" in words(teacher.get(url))
    assert "Write what you did" in words(send(teacher, url, answer=" ", seen_version="1"))
    assert send(teacher, url, answer="It stays.", seen_version="1").status_code == 302
    late = send(teacher, url, answer="Another tab.", seen_version="1")
    assert "Somebody saved this after you opened it" in words(late)
    assert "Another tab." in words(late)
    assert late.context["form"]["seen_version"].value() == "2"
    text = words(verifier.get(page("action", action)))
    assert "Assessor and verifier still differ" in text
    assert "Give the third opinion" not in text
    assert "Write what you saw" in words(send(verifier, page("action", action), note="", seen_version="2"))
    assert send(verifier, page("action", action), note="Convinced.", seen_version="2").status_code == 302
    assert "Convinced." in words(teacher.get(url))
    assert "Save the answer" not in words(teacher.get(url))
    assert list(Decision.objects.order_by("pk").values()) == before


def test_the_third_person_is_led_to_the_opinion(cast, as_, portfolio):
    action = raised(as_(cast.verifier), portfolio)
    lead = as_(cast.lead_verifier)
    url = page("third_opinion", action.verdict)
    assert lead.get(url).status_code == 404
    send(as_(cast.teacher), page("answer", action), answer="It stays.", seen_version="1")
    assert "Give the third opinion" in words(lead.get(page("action", action)))
    assert "The front was not read." in words(lead.get(url))
    assert "Choose “met”" in words(send(lead, url, outcome="perhaps", reason="x"))
    outcome = "met" if action.verdict.decision.outcome == "not yet met" else "not yet met"
    assert send(lead, url, outcome=outcome, reason="The table shows it.").status_code == 302
    assert "The table shows it." in words(as_(cast.teacher).get(page("answer", action)))
    closing = send(lead, page("action", action), note="Done.", seen_version="2")
    assert "The third person found" in words(closing)


def test_an_error_of_principle_leads_to_a_wider_sample(cast, as_, plan, portfolio):
    client = as_(cast.verifier)
    action = raised(client, portfolio)
    assert f"widen the sample with {cast.teacher}’s other work" in words(client.get(page("plan", plan)))
    url = page("widen", plan)
    shown = client.get(f"{url}?action={action.uuid}")
    assert shown.context["form"]["reason"].value() == "Error of principle: Read the front again."
    # By hand: 3 left; 1 of 3 wrong is met with n/3, so 95 % asks for all 3 (hypergeometric).
    assert "3 portfolios not seen yet. If 1 of them held the same error, 3 must be drawn" in words(shown)
    answer = send(client, url, **WIDEN, assessor=str(cast.teacher.uuid))
    wider = SamplingPlan.objects.get(widens=plan)
    assert answer.url == page("plan", wider)
    text = words(client.get(answer.url))
    assert "An error of principle." in text
    assert "With all that widened it: 2 of 4 portfolios." in text
    assert "Widened" in words(client.get(page("plan", plan)))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("reason", ""),
        ("size", "4"),
        ("size", "1e9"),
        ("size", "0"),
        ("size", ""),
        ("size_by", "taste"),
        ("assessor", "nobody"),
        ("assessor", str(uuid.UUID(int=1))),
        ("strata", "taste"),
        ("seed", "-1"),
    ],
)
def test_what_cannot_widen_comes_back_with_a_sentence(cast, as_, plan, field, value):
    answer = send(as_(cast.verifier), page("widen", plan), **{**WIDEN, field: value})
    assert answer.status_code == 200
    assert answer.context["form"].errors[field][0].endswith(".")
    assert SamplingPlan.objects.count() == 1


def test_the_sample_is_signed_off_once_nothing_is_open(cast, as_, plan, portfolio):
    client = as_(cast.verifier)
    url = page("sign_off", plan)
    assert "1 record is not signed yet." in words(client.get(url))
    action = raised(client, portfolio)
    assert "1 action is still open." in words(send(client, url, comment="Sound."))
    assert not SampleSignOff.objects.exists()
    send(as_(cast.teacher), page("answer", action), answer="Done.", seen_version="1")
    send(client, page("action", action), note="Seen.", seen_version="2")
    assert send(client, url, comment="Sound.").url == page("plan", plan)
    text = words(client.get(page("plan", plan)))
    assert "signed off" in text
    assert "Widen the sample" not in text
    assert "This sample is signed off." in words(client.get(page("widen", plan)))
    assert "signed off" in words(client.get(reverse("verify:plans")))


def test_something_else_can_be_asked_of_the_assessor(cast, as_, plan, portfolio):
    client = as_(cast.verifier)
    url = page("raise", portfolio)
    assert "Write what the assessor is to do." in words(send(client, url, what="", due_on=due()))
    assert send(client, url, what="Name pages in feedback.", due_on=due()).url == page("plan", plan)
    assert VerificationAction.objects.get().verdict is None
    assert as_(cast.lead_verifier).get(url).url == page("portfolio", portfolio)


def test_the_page_names_empty_strata_and_the_policy_s_size(cast, as_, plan):
    client = as_(cast.verifier)
    assert "The centre’s usual size is the square root" in words(client.get(reverse("verify:draw")))
    typed = {"unit": str(plan.unit.uuid), "stage": "final", "size_by": "square root", "size": ""}
    answer = send(client, reverse("verify:draw"), **typed, strata=["grade", "resubmitted"])
    text = words(client.get(answer.url))
    assert "Asked for, but there is none to draw: resubmitted work, all of it." in text
    assert "The square root of 4, rounded up, is 2. The policy asks for at least 3." in text


@pytest.mark.slow
def test_record_and_report_are_printed_kept_and_give_equal_bytes(cast, as_, plan, portfolio):
    client = as_(cast.verifier)
    raised(client, portfolio)
    for url in (page("record_pdf", portfolio), page("report_pdf", plan)):
        first, second = client.get(url), client.get(url)
        assert first["Content-Type"] == "application/pdf"
        assert first.content == second.content
    assert sorted(IssuedDocument.objects.values_list("kind", flat=True)) == [
        "sampling report",
        "verification record",
    ]
    assert as_(cast.teacher).get(page("record_pdf", portfolio)).status_code == 404
