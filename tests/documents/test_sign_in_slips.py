from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client
from django.urls import reverse

from practicals.actions.issue_bench_codes import issue_bench_codes
from practicals.calculations.bench_code import grouped, read_code
from practicals.documents.sign_in_slips import gather_slips, slips_pdf
from tests.documents.reading import open_pdf, page_texts
from tests.factories import NOW, make_class, make_session, make_user


@pytest.fixture
def issued(centre):
    teacher = make_user("", "teacher")
    session = make_session(teacher=teacher, teaching_class=make_class(teacher=teacher, learners=24))
    return session, issue_bench_codes(by=teacher, session=session, now=NOW)


def test_each_slip_leads_its_learner_to_the_sign_in_page_with_both_words_typed(issued):
    session, codes = issued
    sheet = gather_slips(session, codes, base_address="http://192.0.2.20:8000/")
    for slip, (learner, code) in zip(sheet.slips, codes, strict=True):
        link = urlsplit(slip.link)
        assert (link.scheme, link.netloc, link.path) == (
            "http",
            "192.0.2.20:8000",
            reverse("people:bench_sign_in"),
        )
        asked = parse_qs(link.query)
        assert asked["word"] == [session.teaching_class.class_word]
        assert read_code(asked["code"][0]) == code
        assert slip.sign_in_name == learner.username


def test_a_code_from_the_printed_link_opens_the_session(issued):
    session, codes = issued
    client = Client()
    slip = gather_slips(session, codes, base_address="http://testserver").slips[0]
    client.get(slip.link.removeprefix("http://testserver"), follow=True)
    asked = {name: values[0] for name, values in parse_qs(urlsplit(slip.link).query).items()}
    response = client.post(reverse("people:bench_sign_in"), asked)
    assert response["Location"] == reverse("bench:session", args=[session.uuid])


def test_a_slip_is_whole_on_one_page_and_says_all_it_must(issued):
    session, codes = issued
    pages = page_texts(slips_pdf(session, codes, now=NOW))
    for learner, code in codes:
        # Once on exactly one page, name and both halves of the code together.
        (page,) = [text for text in pages if f" {learner.name} " in f" {text} "]
        assert grouped(code) in page.replace(" ", "")
        assert learner.username in page
    joined = " ".join(pages)
    assert joined.count("Valid until the session closes") == len(codes)
    assert joined.count(session.teaching_class.class_word) >= len(codes)


def test_ten_or_so_stand_on_a_page_and_each_page_is_a4_and_says_that_it_is_invented(issued):
    session, codes = issued
    made = slips_pdf(session, codes, now=NOW)
    pages = page_texts(made)
    assert len(pages) == 3
    assert all("Invented demo data" in text for text in pages)
    # ISO 216: A4 is 210 mm by 297 mm; a point is 1/72 inch of 25.4 mm.
    with open_pdf(made) as pdf:
        boxes = [[float(side) * 25.4 / 72 for side in page.mediabox] for page in pdf.pages]
    assert boxes == [pytest.approx([0, 0, 210, 297], abs=0.1)] * 3


def test_the_qr_code_has_a_text_alternative_without_the_code_in_it(issued):
    session, codes = issued
    slip = gather_slips(session, codes, base_address="http://192.0.2.20:8000").slips[0]
    assert f"of {slip.name}</title>" in slip.qr
    assert grouped(slip.code) not in slip.qr


@pytest.mark.parametrize(
    "name", ["Wilhelmina Bartholomea Featherstonehaugh-Cholmondeley", "X" * 120, "Ли <b>Вэй</b>"]
)
def test_a_long_or_odd_name_breaks_nothing(centre, name):
    teacher = make_user("", "teacher")
    session = make_session(teacher=teacher, teaching_class=make_class(teacher=teacher, learners=1))
    learner = session.members.get().learner
    learner.name = name
    learner.save()
    codes = issue_bench_codes(by=teacher, session=session, now=NOW)
    (page,) = page_texts(slips_pdf(session, codes, now=NOW))
    assert name[:20].replace(" ", "") in page.replace(" ", "")
