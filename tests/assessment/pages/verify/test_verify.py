"""The verifier's pages, as clicked."""

import re
import uuid

import pytest
from django.urls import reverse

from assessment.actions.decide import decide
from assessment.actions.draw_sample import draw_sample
from assessment.actions.save_policy import standing_policy
from assessment.models import CriterionVerdict, Decision, EvidencePart, SamplingPlan, VerificationRecord
from practicals.models import Role
from tests.assessment.handed_in import LATER, decided_class
from tests.factories import make_user

SOUND = {"evidence": "sound", "feedback": "sound", "records": "sound"}
DRAW = {"stage": "interim", "size_by": "number", "size": "3", "seed": "7"}


@pytest.fixture
def submissions(cast):
    return decided_class(4, verifier=cast.verifier, teacher=cast.teacher)


@pytest.fixture
def unit(submissions):
    return submissions[0].work.assignment.brief.unit


@pytest.fixture
def plan(cast, unit):
    return draw_sample(by=cast.verifier, unit=unit, size=3, seed=7, stage="interim", now=LATER)


@pytest.fixture
def portfolio(plan):
    return plan.portfolios.first()


@pytest.fixture
def verifier(cast, as_):
    return as_(cast.verifier)


def page(name, record):
    return reverse(f"verify:{name}", args=[record.uuid])


def send(client, url, **typed):
    return client.post(url, {"once": str(uuid.uuid4()), **typed})


def words(response):
    text = re.sub(r"<svg.*?</svg>", " ", response.content.decode(), flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text))


def typed(response, verdict="agree", comment=""):
    """Every criterion filled in the same way, with the hidden fields that the page gave."""
    data = {}
    for row in response.context["rows"]:
        for name in ("decision", "seen"):
            data[row.form.add_prefix(name)] = row.form[name].value() or ""
        data[row.form.add_prefix("verdict")] = verdict
        data[row.form.add_prefix("comment")] = comment
    return data


def test_only_verifiers_open_these_pages(cast, plan, portfolio, as_):
    urls = [
        reverse("verify:plans"),
        reverse("verify:draw"),
        page("plan", plan),
        page("portfolio", portfolio),
        page("sign", portfolio),
    ]
    for person in (cast.teacher, cast.technician, cast.learner, cast.administrator):
        assert [as_(person).get(url).status_code for url in urls] == [404] * 5


def test_draw_page_helps_with_the_size_in_words(verifier, unit):
    text = words(verifier.get(reverse("verify:draw")))
    # Square root of 4 is 2; 1 wrong of 4 with 2 drawn: 1 - C(3,2)/C(4,2) = 1/2 (hypergeometric, by hand).
    assert "4 portfolios to draw from. The customary square root, rounded up, is 2." in text
    assert "If 1 of the 4 portfolios held a wrong decision" in text
    assert "with 50 % probability" in text


def test_a_draw_keeps_the_typed_seed_and_leads_to_its_plan(verifier, unit):
    answer = send(verifier, reverse("verify:draw"), unit=str(unit.uuid), **DRAW)
    plan = SamplingPlan.objects.get()
    assert answer.url == page("plan", plan)
    text = words(verifier.get(answer.url))
    assert "with seed 7" in text
    assert (
        "Drawn again just now from the kept candidates with seed 7 and size 3: the same 3 portfolios." in text
    )
    assert "are meant to find more, but by how much no formula says" in text


def test_a_draw_without_a_seed_makes_one_and_keeps_it(verifier, unit):
    send(verifier, reverse("verify:draw"), unit=str(unit.uuid), stage="final", size_by="number", size="2")
    assert 0 <= SamplingPlan.objects.get().seed < 1_000_000


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("size", ""),
        ("size", "0"),
        ("size", "-3"),
        ("size", "5"),
        ("size", "1e9"),
        ("size", "2,5"),
        ("size", "three"),
        ("size", "3 portfolios"),
        ("seed", "-1"),
        ("seed", "1,5"),
        ("seed", "abc"),
        ("seed", "9" * 30),
        ("stage", "later"),
        ("unit", "nothing"),
        ("unit", ""),
    ],
)
def test_what_cannot_be_drawn_comes_back_with_a_sentence(verifier, unit, field, value):
    answer = send(verifier, reverse("verify:draw"), **{"unit": str(unit.uuid), **DRAW, field: value})
    assert answer.status_code == 200
    errors = answer.context["form"].errors[field]
    assert errors[0].endswith(".")
    assert answer.context["form"][field].value() == value
    assert not SamplingPlan.objects.exists()


def test_a_double_click_draws_once(verifier, unit):
    data = {"once": str(uuid.uuid4()), "unit": str(unit.uuid), **DRAW}
    first, second = (verifier.post(reverse("verify:draw"), data) for _ in range(2))
    assert first.url == second.url
    assert SamplingPlan.objects.count() == 1


def test_the_plan_gives_each_reason_with_the_assessor_by_name(cast, verifier, plan):
    text = words(verifier.get(page("plan", plan)))
    assert f"by assessor {cast.teacher.name}" in text
    sample = text[: text.index("How to draw it by hand")]
    assert str(cast.teacher.token) not in sample


def test_a_plan_whose_candidates_were_altered_says_so(verifier, plan):
    plan.candidates = [
        row for row in plan.candidates if row["key"] != str(plan.portfolios.first().submission.uuid)
    ]
    plan.save()
    assert "not the same portfolios" in words(verifier.get(page("plan", plan)))


def test_own_decisions_are_left_out_of_the_draw_and_cannot_be_opened(cast, as_):
    both = make_user("Bo Both", Role.TEACHER, Role.VERIFIER)
    own = decided_class(2, verifier=cast.verifier, teacher=both)
    unit = own[0].work.assignment.brief.unit
    plan = draw_sample(by=cast.verifier, unit=unit, size=1, seed=1, stage="final", now=LATER)
    sampled = plan.portfolios.first()
    client = as_(both)
    assert "2 more are left out" in words(client.get(reverse("verify:draw")))
    refused = send(client, reverse("verify:draw"), unit=str(unit.uuid), **DRAW)
    assert "no portfolio to draw from" in words(refused)
    assert "your own decision, for another verifier" in words(client.get(page("plan", plan)))
    for name in ("portfolio", "sign"):
        assert client.get(page(name, sampled)).status_code == 404
        assert send(client, page(name, sampled)).status_code == 404


def test_the_portfolio_shows_the_frozen_evidence_and_that_it_is_unaltered(verifier, portfolio):
    answer = verifier.get(page("portfolio", portfolio))
    text = words(answer)
    for said in (
        "Unaltered: each of the 6 parts",
        "The unknown is leucine.",
        "The front was uneven.",
        "Seen for P1",
    ):
        assert said in text
    assert portfolio.submission.declaration in text
    # Origin 15 mm, front 95 mm, spots at 35, 45, 75, 74 mm: 20/80, 30/80, 60/80, 59/80, half up (IUPAC).
    assert [str(s.rounded_rf) for s in answer.context["evidence"].papers[0].review.spots] == [
        "0.25",
        "0.38",
        "0.75",
        "0.74",
    ]
    assert "<svg" in answer.content.decode()


def test_an_altered_part_is_said_in_words(verifier, portfolio):
    EvidencePart.objects.filter(submission=portfolio.submission, name="writing").update(text="{}")
    text = words(verifier.get(page("portfolio", portfolio)))
    assert "This evidence is not what was frozen" in text
    assert "writing: differs" in text


def test_the_only_fields_are_the_verifiers_own(verifier, portfolio):
    html = verifier.get(page("portfolio", portfolio)).content.decode()
    main = html[html.index("<main") : html.index("</main>")]
    names = set(re.findall(r'name="([^"]+)"', main)) - {"csrfmiddlewaretoken", "once", "opened_by"}
    assert names
    assert all(re.fullmatch(r"criterion-\d+-(decision|seen|verdict|comment)", name) for name in names)
    assert main.count("<form") == 1


def test_verdicts_are_saved_and_signed(cast, verifier, plan, portfolio):
    before = list(Decision.objects.order_by("pk").values())
    url = page("portfolio", portfolio)
    assert send(verifier, url, **typed(verifier.get(url))).url == url
    assert "Go on to sign" in words(verifier.get(url))
    text = words(verifier.get(page("sign", portfolio)))
    assert text.count("agree") >= 4
    assert send(verifier, page("sign", portfolio), feedback_comment="Clear feedback.", **SOUND).url == page(
        "plan", plan
    )
    text = words(verifier.get(page("plan", plan)))
    assert "signed, all agreed" in text
    assert "4 of 4 judgements agree (100 %)" in text
    assert "kappa is not defined" in text
    signed = words(verifier.get(url))
    assert "Clear feedback." in signed
    assert "Save the verdicts" not in signed
    assert "stays as it is" in words(send(verifier, url, **typed(verifier.get(url), "disagree", "No.")))
    assert verifier.get(page("sign", portfolio)).url == url
    assert list(Decision.objects.order_by("pk").values()) == before


def test_a_reason_left_out_keeps_everything_that_was_typed(verifier, portfolio):
    url = page("portfolio", portfolio)
    data = typed(verifier.get(url), "agree", "Fine.")
    one = next(name for name in data if name.endswith("verdict"))
    data[one], data[one.replace("verdict", "comment")] = "disagree", ""
    answer = send(verifier, url, **data)
    assert answer.status_code == 200
    assert "write why you disagree" in words(answer)
    assert answer.content.decode().count("Fine.") == 3
    assert answer.context["rows"][0].form["verdict"].value() == "disagree"
    assert not CriterionVerdict.objects.exists()


@pytest.mark.parametrize("value", ["", "maybe", "1e9", "Agree"])
def test_a_verdict_that_is_none_comes_back_with_a_sentence(verifier, portfolio, value):
    url = page("portfolio", portfolio)
    answer = send(verifier, url, **typed(verifier.get(url), value, "Something."))
    assert "Choose agree, disagree or cannot tell." in words(answer)
    assert answer.content.decode().count("Something.") == 4
    assert not CriterionVerdict.objects.exists()


def test_hidden_fields_that_were_meddled_with_do_no_harm(verifier, portfolio):
    url = page("portfolio", portfolio)
    data = typed(verifier.get(url))
    data |= {name: "rubbish" for name in data if name.endswith(("decision", "seen"))}
    assert send(verifier, url, **data).status_code == 302
    other = typed(verifier.get(url), "disagree", "No.")
    other |= {name: "2026-13-45T99:00" for name in other if name.endswith("seen")}
    answer = send(verifier, url, **other)
    assert "another verdict" in words(answer)
    assert set(CriterionVerdict.objects.values_list("verdict", flat=True)) == {"agree"}


def test_a_second_tab_is_told_and_can_save_again(verifier, portfolio):
    url = page("portfolio", portfolio)
    old_tab = typed(verifier.get(url), "disagree", "On second thoughts.")
    send(verifier, url, **typed(verifier.get(url)))
    answer = send(verifier, url, **old_tab)
    assert "You saved another verdict on this" in words(answer)
    assert answer.content.decode().count("On second thoughts.") == 4
    assert send(verifier, url, **typed(answer, "disagree", "On second thoughts.")).status_code == 302
    assert set(CriterionVerdict.objects.values_list("verdict", flat=True)) == {"disagree"}


def test_a_decision_taken_anew_meanwhile_is_shown_before_a_verdict_counts(cast, verifier, portfolio):
    url = page("portfolio", portfolio)
    data = typed(verifier.get(url))
    old = portfolio.submission.decisions.first()
    decide(
        by=cast.teacher,
        submission=old.submission,
        criterion=old.criterion,
        outcome="not yet met" if old.outcome == "met" else "met",
        valid=True,
        sufficient=True,
        comment="Looked at it again.",
        seen_decision=old.uuid,
        now=LATER,
    )
    answer = send(verifier, url, **data)
    assert "has taken a new decision" in words(answer)
    assert "Looked at it again." in words(answer)
    assert not CriterionVerdict.objects.exists()
    assert send(verifier, url, **typed(answer)).status_code == 302
    assert CriterionVerdict.objects.count() == 4


def test_another_verifier_reads_but_does_not_write(cast, verifier, portfolio, as_):
    url = page("portfolio", portfolio)
    late = as_(cast.lead_verifier)
    data = typed(late.get(url), "disagree", "Mine.")
    send(verifier, url, **typed(verifier.get(url)))
    answer = send(late, url, **data)
    assert "Another verifier has begun this portfolio" in words(answer)
    assert "Save the verdicts" not in words(late.get(url))
    assert late.get(page("sign", portfolio)).url == url
    assert VerificationRecord.objects.get().verifier == cast.verifier


def test_nothing_is_begun_by_looking(verifier, portfolio):
    verifier.get(page("portfolio", portfolio))
    verifier.get(page("sign", portfolio))
    assert not VerificationRecord.objects.exists()


def queries(client, urls, django_assert_max_num_queries):
    counts = []
    for url in urls:
        with django_assert_max_num_queries(60) as seen:
            assert client.get(url).status_code == 200
        counts.append(len(seen))
    return counts


@pytest.mark.slow
def test_the_pages_take_as_many_queries_for_thirty_as_for_three(
    cast, verifier, django_assert_max_num_queries
):
    # The first edition of the policy is made when it is first asked for: once, not once a page.
    standing_policy(now=LATER)

    def urls_of(learners):
        found = decided_class(learners, verifier=cast.verifier)
        plan = draw_sample(
            by=cast.verifier,
            unit=found[0].work.assignment.brief.unit,
            size=learners,
            seed=1,
            stage="final",
            now=LATER,
        )
        first = plan.portfolios.first()
        url = page("portfolio", first)
        send(verifier, url, **typed(verifier.get(url)))
        return [reverse("verify:plans"), reverse("verify:draw"), page("plan", plan), url, page("sign", first)]

    few = queries(verifier, urls_of(3), django_assert_max_num_queries)
    assert queries(verifier, urls_of(30), django_assert_max_num_queries) == few
