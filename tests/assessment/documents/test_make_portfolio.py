"""Who may have a portfolio, what is kept of it, and that gathering never looks at what is still alive."""

import csv
import re
from datetime import timedelta
from decimal import Decimal
from io import StringIO

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext

from assessment.documents.make_portfolio import make_portfolio
from assessment.documents.portfolio import gather_portfolio, portfolio_pdf
from assessment.models import IssuedDocument
from practicals.models import AuditEntry, ReadingSet
from reagents.models import Batch
from tests.assessment.documents.quick import quick_print
from tests.assessment.documents.rich import decide_all, release_result, rich_submission
from tests.documents.reading import page_texts
from tests.factories import NOW

LATER = NOW + timedelta(days=9)


@pytest.fixture
def submission(cast):
    return rich_submission(cast, papers=1)


def make(by, submission, now=LATER):
    return make_portfolio(by=by, submission=submission, now=now)


def test_file_is_kept_with_both_digests_and_audited(cast, submission, quick_print):
    issued, content = make(cast.teacher, submission)
    assert issued.evidence_sha256 == submission.manifest_sha256
    assert issued.file.size == len(content)
    assert AuditEntry.objects.get(action="keep_portfolio").detail["sha256"] == issued.file.sha256


def test_the_same_again_is_the_same_row(cast, submission, quick_print):
    first, _ = make(cast.teacher, submission)
    again, _ = make(cast.teacher, submission, now=LATER + timedelta(days=1))
    assert again == first
    assert AuditEntry.objects.filter(action="keep_portfolio").count() == 1


def test_a_new_decision_gives_a_new_file(cast, submission, quick_print):
    first, _ = make(cast.teacher, submission)
    decide_all(submission)
    assert make(cast.teacher, submission)[0] != first
    assert IssuedDocument.objects.filter(submission=submission).count() == 2


def test_learner_gets_their_own_copy(cast, submission, quick_print):
    issued, _ = make(cast.learner, submission)
    assert (issued.kind, issued.made_for) == ("learner's portfolio", cast.learner)


@pytest.mark.parametrize(
    "person", ["other_teacher", "group_mate", "rival", "stranger", "technician", "administrator", "verifier"]
)
def test_others_are_refused_and_a_verifier_before_anything_is_decided(cast, submission, quick_print, person):
    with pytest.raises(PermissionDenied):
        make(getattr(cast, person), submission)
    assert not IssuedDocument.objects.exists()
    assert quick_print == []


def test_verifier_gets_all_of_decided_work(cast, submission, quick_print):
    decide_all(submission)
    assert make(cast.verifier, submission)[0].kind == "portfolio"


def test_number_of_queries_does_not_grow_with_the_papers(cast, submission):
    counts = []
    for found in (submission, rich_submission(cast, papers=4)):
        decide_all(found)
        with CaptureQueriesContext(connection) as asked:
            gather_portfolio(found, for_learner=False)
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_readings_changed_afterwards_change_nothing(cast, submission):
    before = gather_portfolio(submission, for_learner=False)
    ReadingSet.objects.filter(learner=cast.learner).update(front_mm=Decimal(50), origin_mm=Decimal(1))
    submission.work.conclusion = "Something else"
    submission.work.save()
    after = gather_portfolio(submission, for_learner=False)
    assert (after.papers, after.conclusion) == (before.papers, before.conclusion)
    assert after.attachments == before.attachments


def test_date_is_that_of_the_last_change_and_not_of_printing(cast, submission):
    assert gather_portfolio(submission, for_learner=False).created == submission.submitted_at
    decide_all(submission)
    release_result(submission)
    portfolio = gather_portfolio(submission, for_learner=False)
    assert portfolio.created == submission.submitted_at + timedelta(days=2, minutes=5)


def test_result_is_no_part_of_a_learners_copy_before_release(cast, submission):
    decide_all(submission)
    portfolio = gather_portfolio(submission, for_learner=True)
    assert not portfolio.with_result
    assert (portfolio.decisions, portfolio.superseded, portfolio.feedback, portfolio.grade) == (
        (),
        (),
        None,
        "",
    )
    assert portfolio.notes == ()
    assert portfolio.created == submission.submitted_at
    assert {line.outcome for line in portfolio.criteria} == {""}
    assert not any(spot.doubtful for paper in portfolio.papers for spot in paper.drawing.spots)


def test_map_leads_to_the_places_in_the_document(cast, submission):
    portfolio = gather_portfolio(submission, for_learner=False)
    places = {line.code: [place.anchor for place in line.places] for line in portfolio.criteria}
    assert places == {
        "P1": ["notes"],
        "P2": ["paper-1", "paper-1-photo"],
        "M1": ["paper-1", "conclusion"],
        "D1": ["paper-1", "evaluation"],
    }
    assert {anchor for anchors in places.values() for anchor in anchors} <= {
        place.anchor for place in portfolio.contents
    }


def test_altered_evidence_is_said(cast, submission):
    part = submission.parts.get(name="writing")
    part.text = part.text.replace("leucine", "alanine")
    part.save()
    assert gather_portfolio(submission, for_learner=False).altered


def test_erased_part_is_named_and_is_no_alteration(cast, submission):
    submission.parts.filter(name="writing").update(text="", erased_at=NOW)
    portfolio = gather_portfolio(submission, for_learner=False)
    assert portfolio.absent == ("writing",)
    assert not portfolio.altered
    assert "writing.json" not in [attachment.name for attachment in portfolio.attachments]


def test_doubtful_spot_is_marked_and_said_once(cast, submission):
    part = submission.parts.get(name="readings-1")
    part.text = part.text.replace('"centre_mm":"35"', '"centre_mm":"99"')
    part.save()
    (paper,) = gather_portfolio(submission, for_learner=False).papers
    assert [(spot.lane, spot.number) for spot in paper.drawing.spots if spot.doubtful] == [(1, 1)]
    assert paper.remarks[0].startswith("Lane 1, spot 1: the centre (99 mm) is beyond the solvent front")


def test_recalled_batch_is_said(cast, submission):
    Batch.objects.update(recalled_at=LATER, recall_reason="Two phases")
    portfolio = gather_portfolio(submission, for_learner=False)
    assert portfolio.batches[0].recall_reason == "Two phases"
    assert portfolio.created == LATER


def test_cell_that_a_spreadsheet_would_run_is_quoted(cast):
    submission = rich_submission(cast, papers=1, photo=False)
    part = submission.parts.get(name="paper-1")
    part.text = part.text.replace('"alanine"', '"=alanine"')
    part.save()
    portfolio = gather_portfolio(submission, for_learner=False)
    (table,) = [found.data for found in portfolio.attachments if found.name == "readings.csv"]
    assert b",'=alanine," in table


def stated_submission(cast):
    """The first lane, the standard glycine, is noted as purple and judged to 1.5 mm; its text is frozen."""
    submission = rich_submission(cast, papers=1, photo=False)
    part = submission.parts.get(name="readings-1")
    part.text = part.text.replace(
        '"centre_mm":"35"', '"centre_mm":"35","judged_to_mm":"1.5","colour":"=purple"'
    )
    part.save()
    return submission


def table_of(portfolio):
    (table,) = [found.data for found in portfolio.attachments if found.name == "readings.csv"]
    return list(csv.DictReader(StringIO(table.decode())))


@pytest.mark.parametrize("for_learner", [False, True])
def test_half_width_and_colour_stand_in_document_and_table_of_everybody(cast, for_learner):
    portfolio = gather_portfolio(stated_submission(cast), for_learner=for_learner)
    (part,) = portfolio.papers
    assert (part.rows[0].half_width, part.rows[0].colour) == ("1.5", "=purple")
    assert (part.has_half_widths, part.has_colours, part.has_edges) == (True, True, True)
    first, second = table_of(portfolio)[:2]
    assert (first["judged_to_mm"], first["colour"]) == ("1.5", "'=purple")
    assert (second["judged_to_mm"], second["colour"]) == ("", "")
    (raw,) = [found.data for found in portfolio.attachments if found.name == "readings-1.json"]
    assert b'"judged_to_mm":"1.5","colour":"=purple"' in raw


def test_nothing_stated_takes_no_column(submission):
    (part,) = gather_portfolio(submission, for_learner=False).papers
    assert not part.has_half_widths
    assert not part.has_colours


def test_rm_stands_where_the_result_does(submission):
    """log10(0.75/0.25) = 0.477 for 35 mm on a run of 15 to 95 mm; IUPAC Gold Book R05359."""
    portfolio = gather_portfolio(submission, for_learner=False)
    said = dict(portfolio.papers[0].logarithms)
    assert said["1, glycine"] == "0.48 ± 0.02"
    assert table_of(portfolio)[0]["recomputed_rm"] == "0.477"
    # 75.5 mm is R_f 0.756: log10(0.24375/0.75625) = -0.492, a figure that no spreadsheet takes for a formula.
    assert table_of(portfolio)[2]["recomputed_rm"] == "-0.492"
    handed_in = gather_portfolio(submission, for_learner=True)
    assert handed_in.papers[0].logarithms == ()
    assert {row["recomputed_rm"] for row in table_of(handed_in)} == {""}


def test_a_printed_portfolio_says_them(cast):
    pages = " ".join(page_texts(portfolio_pdf(gather_portfolio(stated_submission(cast), for_learner=False))))
    assert re.search("35.* ± 1.5", pages)
    assert "=purple" in pages
    assert "Colours are as the learner noted them" in pages


__all__ = ["quick_print"]


def test_values_stand_with_their_uncertainty_only_where_the_result_does(cast, submission):
    """u(R_f) by JCGM 100:2008, 5.1.2; R_rel: IUPAC Gold Book, doi:10.1351/goldbook.R05276."""
    whole = gather_portfolio(submission, for_learner=False)
    part = whole.papers[0]
    assert all(" ± " in row.rf for row in part.rows if row.spot)
    assert part.reference == "glycine"
    assert any("z = " in sentence for sentence in part.compared)
    assert any("uncertain mostly through" in sentence for sentence in part.worth)
    handed_in = gather_portfolio(submission, for_learner=True).papers[0]
    assert not any(row.rf or row.relative for row in handed_in.rows)
    assert (handed_in.compared, handed_in.worth) == ((), ())
