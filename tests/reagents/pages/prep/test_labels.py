"""The pages for labels: sheets, a batch's labels, a rack's; and what a code scanned by a learner shows."""

from decimal import Decimal
from urllib.parse import urlsplit
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from reagents.models import LabelSheet
from tests.documents.reading import page_texts
from tests.factories import make_recipe
from tests.reagents.labelled import EIGHT, make_batch, make_label_sheet, make_spray
from tests.reagents.requested import make_requisition, make_solution

pytestmark = pytest.mark.django_db


def text(answer):
    return answer.content.decode().replace("\u00a0", " ").replace("&#x27;", "'")


@pytest.fixture
def technician(cast, as_):
    return as_(cast.technician)


@pytest.fixture
def sheet(cast):
    return make_label_sheet()


@pytest.fixture
def batch(cast):
    return make_batch(make_requisition(cast.teacher, make_recipe()).lines.get(), cast.technician)


@pytest.fixture
def coded(cast):
    """A coded unknown of ninhydrin in ethanol, which a learner must not find out."""
    line = make_requisition(cast.teacher, make_spray("Unknown of two"), label_code="ZQ-77").lines.get()
    return make_batch(line, cast.technician, code="24N-XXX")


def page_of(batch, **asked):
    return reverse("prep:labels", args=[batch.uuid]) + ("?" if asked else "") + query(asked)


def query(asked):
    return "&".join(f"{name}={value}" for name, value in asked.items())


def pdf_of(batch, **asked):
    return reverse("prep:labels_pdf", args=[batch.uuid]) + "?" + query(asked)


# -- labels of a batch


def test_the_batch_leads_to_its_labels(technician, batch, sheet):
    assert page_of(batch) in text(technician.get(reverse("prep:batch", args=[batch.uuid])))


def test_without_a_sheet_it_says_what_comes_first(technician, batch):
    page = text(technician.get(page_of(batch)))
    assert 'class="empty"' in page
    assert reverse("prep:add_label_sheet") in page
    assert "Print labels (PDF)" not in page


def test_it_opens_ready_to_print(technician, batch, sheet):
    page = text(technician.get(page_of(batch)))
    assert "Print labels (PDF)" in page
    assert "1 sheet; 15 of the last one's 16 labels stay free" in page
    assert "10 mm" in page
    assert "Follow your employer's risk assessment" in page
    answer = technician.get(pdf_of(batch))
    assert answer["Content-Type"] == "application/pdf"
    assert "Butan-1-ol mixture" in page_texts(answer.content)[0]


def test_the_smallest_sheet_without_a_warning_is_offered_and_a_choice_is_kept(technician, batch, sheet):
    large = make_label_sheet("8 to a sheet", **EIGHT)
    make_label_sheet("4 to a sheet", **{**EIGHT, "rows": 2, "height_mm": 148, "pitch_down_mm": 148})
    page = text(technician.get(page_of(batch)))
    assert f'<option value="{large.uuid}" selected>' in page
    page = text(technician.get(page_of(batch, sheet=sheet.uuid)))
    assert f'<option value="{sheet.uuid}" selected>' in page


def test_start_and_count_are_kept_and_shown(technician, batch, sheet):
    page = text(technician.get(page_of(batch, start=15, copies=4, container="0,25 L")))
    assert 'value="15"' in page
    assert "2 sheets; 14 of the last one's 16" in page
    assert "2 of its 16 positions are printed, from 15 to 16" in page
    pages = page_texts(technician.get(pdf_of(batch, start=15, copies=4)).content)
    assert [one.count("Butan-1-ol mixture") for one in pages] == [2, 2]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"start": "17"}, "positions 1 to 16"),
        ({"start": "0"}, "is too small; the least is 1"),
        ({"start": "two"}, "does not start with a plain number"),
        ({"start": "1.5"}, "not a whole number"),
        ({"copies": "0"}, "is too small; the least is 1"),
        ({"copies": "1e9"}, "too large"),
        ({"copies": "-3"}, "is too small; the least is 1"),
        ({"copies": ""}, "Nothing is entered"),
        ({"container": "5 g"}, "is a mass"),
        ({"container": "0"}, "not above zero"),
        ({"container": "5 L"}, "needs at least 74 × 105 mm"),
        ({"sheet": "nonsense"}, "Choose one of the sheets"),
        ({"sheet": "00000000-0000-4000-8000-000000000000"}, "Choose one of the sheets"),
    ],
)
def test_what_cannot_be_is_a_sentence_and_no_pdf(technician, batch, sheet, asked, said):
    answer = technician.get(page_of(batch, **asked))
    assert answer.status_code == 200
    assert said in text(answer)
    assert "Print labels (PDF)" not in text(answer)
    refused = technician.get(pdf_of(batch, **asked))
    assert refused.status_code == 302
    assert urlsplit(refused.url).path == reverse("prep:labels", args=[batch.uuid])


def test_a_larger_container_is_printed_on_a_larger_label(technician, batch, sheet):
    large = make_label_sheet("8 to a sheet", **EIGHT)
    page = text(technician.get(page_of(batch, sheet=large.uuid, container="2 L")))
    assert "over 0.5 to 3 L" in page
    assert "sides are 16 mm" in page


def test_a_mixture_that_splits_asks_for_the_layer(cast, technician, sheet):
    recipe = make_recipe("4 : 1 : 5")
    for substance, amount in (("butan-1-ol", 4), ("ethanoic acid", 1), ("water", 5)):
        recipe.parts.filter(substance=substance).update(amount=Decimal(amount))
    batch = make_batch(make_requisition(cast.teacher, recipe).lines.get(), cast.technician)
    assert "the lower layer, watery" in text(technician.get(page_of(batch)))
    made = page_texts(technician.get(pdf_of(batch, layer="lower")).content)[0]
    assert "4 : 1 : 5: lower layer" in made
    assert "Choose one of the layers" in text(technician.get(page_of(batch, layer="middle")))


def test_a_recalled_batch_gets_no_labels(technician, batch, sheet):
    batch.recalled_at, batch.recall_reason = batch.made_at, "cloudy"
    batch.save()
    page = text(technician.get(page_of(batch)))
    assert "no labels are printed" in page
    assert technician.get(pdf_of(batch)).status_code == 302


# -- coded unknowns


def test_a_coded_label_page_says_what_is_printed_and_the_pdf_says_no_more(technician, coded, sheet):
    page = text(technician.get(page_of(coded)))
    assert "the label shows only" in page
    answer = technician.get(pdf_of(coded))
    printed = " ".join(page_texts(answer.content)).lower()
    assert "zq-77" in printed
    for secret in ("ninhydrin", "ethanol", "unknown of two"):
        assert secret not in printed
        assert secret not in answer["Content-Disposition"].lower()


@pytest.mark.parametrize("who", ["learner", "group_mate", "rival", "stranger", "at_the_bench", "nobody"])
def test_a_code_scanned_by_a_learner_reveals_nothing(cast, as_, coded, sheet, who):
    if who == "nobody":
        client = Client()
    else:
        client = as_(cast.learner if who == "at_the_bench" else getattr(cast, who))
    if who == "at_the_bench":
        session = client.session
        session["bench_session"] = str(cast.session.uuid)
        session.save()
    scanned = [
        reverse("prep:batch", args=[coded.uuid]),
        page_of(coded),
        pdf_of(coded),
        reverse("prep:requisition", args=[coded.line.requisition.uuid]),
        reverse("prep:rack_labels", args=[coded.line.requisition.uuid]),
        reverse("prep:rack_labels_pdf", args=[coded.line.requisition.uuid]),
    ]
    for address in scanned:
        answer = client.get(address, follow=True)
        assert answer.status_code == (200 if who == "nobody" else 404), address
        shown = text(answer).lower()
        assert not any(secret in shown for secret in ("ninhydrin", "unknown of two", "zq-77", "24n-xxx"))


def test_teacher_and_technician_have_the_key(cast, as_, coded):
    for who in (cast.teacher, cast.technician):
        page = text(as_(who).get(reverse("prep:batch", args=[coded.uuid])))
        assert "Unknown of two" in page
        assert "ZQ-77" in page


# -- a rack of vials


def rack_of(requisition, **asked):
    return reverse("prep:rack_labels", args=[requisition.uuid]) + ("?" if asked else "") + query(asked)


def test_a_rack_lists_its_vials_and_leaves_out_what_is_not_chosen(cast, technician, sheet):
    requisition = make_requisition(cast.teacher, make_solution(), make_solution("Alanine, 0.01 mol/L"))
    batches = [make_batch(line, cast.technician) for line in requisition.lines.all()]
    page = text(technician.get(rack_of(requisition)))
    assert page.count("checked") == 3  # both vials, and that they share a label
    pdf = reverse("prep:rack_labels_pdf", args=[requisition.uuid])
    both = page_texts(technician.get(pdf).content)[0]
    assert "2 vials: Glycine, 0.01 mol/L (24N-AAA), Alanine, 0.01 mol/L (24N-AAB)" in both
    one = page_texts(technician.get(f"{pdf}?vials={batches[0].uuid}&start=1").content)[0]
    assert "Alanine" not in one
    assert "Choose the vials or bottles" in text(technician.get(rack_of(requisition, start=1)))


def test_what_fills_chambers_or_is_sprayed_is_not_put_into_the_rack(cast, technician, sheet):
    make_label_sheet("8 to a sheet", **EIGHT)
    requisition = make_requisition(cast.teacher, make_solution(), make_recipe())
    for line in requisition.lines.all():
        make_batch(line, cast.technician)
    made = page_texts(technician.get(reverse("prep:rack_labels_pdf", args=[requisition.uuid])).content)[0]
    assert "1 vial: Glycine" in made
    assert "Butan-1-ol" not in made


def test_each_bottle_of_a_requisition_gets_its_label_on_the_same_sheet(cast, technician):
    sheet = make_label_sheet("8 to a sheet", **EIGHT)
    requisition = make_requisition(cast.teacher, make_solution(), make_recipe())
    batches = [make_batch(line, cast.technician) for line in requisition.lines.all()]
    asked = f"?how=each&sheet={sheet.uuid}&" + "&".join(f"vials={batch.uuid}" for batch in batches)
    address = reverse("prep:rack_labels_pdf", args=[requisition.uuid])
    (made,) = page_texts(technician.get(address + asked).content)
    assert all(f"Batch {batch.code}" in made for batch in batches)
    assert made.index("Glycine") < made.index("Butan-1-ol mixture")


def test_a_requisition_leads_to_its_labels(cast, technician):
    requisition = make_requisition(cast.teacher, make_solution())
    page = text(technician.get(reverse("prep:requisition", args=[requisition.uuid])))
    assert rack_of(requisition) in page


def test_a_rack_without_batches_says_what_comes_first(cast, technician, sheet):
    requisition = make_requisition(cast.teacher, make_solution())
    assert 'class="empty"' in text(technician.get(rack_of(requisition)))


# -- sheets


def described(**more):
    return {
        "once": str(uuid4()),
        "name": "10 to a sheet",
        "rows": "5",
        "columns": "2",
        "width_mm": "9 cm",
        "height_mm": "52",
        "left_mm": "12",
        "top_mm": "13,5",
        "pitch_across_mm": "96 mm",
        "pitch_down_mm": "54",
        **more,
    }


def test_a_sheet_is_described_listed_and_its_frames_print(technician):
    assert 'class="empty"' in text(technician.get(reverse("prep:label_sheets")))
    answer = technician.post(reverse("prep:add_label_sheet"), described())
    assert answer.url == reverse("prep:label_sheets")
    kept = LabelSheet.objects.get()
    assert [kept.width_mm, kept.top_mm, kept.pitch_across_mm] == [90, Decimal("13.5"), 96]
    assert "10 to a sheet" in text(technician.get(answer.url))
    frames = technician.get(reverse("prep:label_frames", args=[kept.uuid]))
    assert page_texts(frames.content)[0].split() == [str(number) for number in range(1, 11)]


def test_where_labels_touch_the_pitch_is_left_empty(technician):
    technician.post(
        reverse("prep:add_label_sheet"),
        described(left_mm="10", pitch_across_mm="", pitch_down_mm=""),
    )
    kept = LabelSheet.objects.get()
    assert [kept.pitch_across_mm, kept.pitch_down_mm] == [90, 52]


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("name", "", "Give the sheet a name"),
        ("rows", "0", "is too small; the least is 1"),
        ("rows", "five", "does not start with a plain number"),
        ("columns", "2.5", "not a whole number"),
        ("columns", "3", "A4 is 210 mm across"),
        ("width_mm", "-9", "below zero"),
        ("width_mm", "9 mL", "is a volume"),
        ("width_mm", "1e9", "too large"),
        ("left_mm", "-1", "below zero"),
        ("pitch_across_mm", "80", "overlap"),
        ("pitch_down_mm", "70", "A4 is 297 mm down"),
        ("height_mm", "", "Nothing is entered"),
    ],
)
def test_a_sheet_that_cannot_be_is_a_sentence_and_is_kept_in_the_form(technician, field, typed, said):
    answer = technician.post(reverse("prep:add_label_sheet"), described(**{field: typed}))
    assert answer.status_code == 200
    assert said in text(answer)
    assert 'value="13,5"' in text(answer)
    assert not LabelSheet.objects.exists()


def test_two_who_change_a_sheet_at_once_see_each_other(technician, sheet):
    address = reverse("prep:label_sheet", args=[sheet.uuid])
    assert 'value="52"' in text(technician.get(address))
    first = technician.post(address, described(seen_version="1", name="First"))
    assert first.status_code == 302
    second = technician.post(address, described(seen_version="1", name="Second"))
    assert "Somebody saved this after you opened it" in text(second)
    assert "First" in text(second)
    assert technician.post(address, described(seen_version="2", name="Second")).status_code == 302
    sheet.refresh_from_db()
    assert sheet.name == "Second"


def test_a_withdrawn_sheet_is_no_longer_offered(technician, batch, sheet):
    answer = technician.post(reverse("prep:withdraw_label_sheet", args=[sheet.uuid]), {"once": str(uuid4())})
    assert answer.status_code == 302
    assert "No sheet of labels is described yet" in text(technician.get(page_of(batch)))
    assert technician.get(reverse("prep:label_sheet", args=[sheet.uuid])).status_code == 404


def test_a_rack_of_30_takes_as_many_queries_as_one_of_3(
    cast, technician, sheet, django_assert_max_num_queries, django_assert_num_queries
):
    def rack(count):
        recipes = [make_solution(f"Standard {count} {number}") for number in range(count)]
        requisition = make_requisition(cast.teacher, *recipes)
        for line in requisition.lines.all():
            make_batch(line, cast.technician, code=f"24N-{count}-{line.order}")
        return rack_of(requisition)

    few, many = rack(3), rack(30)
    with django_assert_max_num_queries(40) as taken:
        assert technician.get(few).status_code == 200
    with django_assert_num_queries(len(taken)):
        assert technician.get(many).status_code == 200
