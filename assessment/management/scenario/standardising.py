"""One standardisation of the demo: three judge a piece blind, compare, and agree how to read it."""

from datetime import datetime, timedelta

from assessment.actions.close_standardisation import Reading, close_standardisation
from assessment.actions.judge_blind import Judged, judge_blind
from assessment.actions.open_standardisation import open_standardisation
from assessment.actions.reveal_judgements import reveal_judgements
from assessment.management.scenario.cast import Cast
from assessment.models import SamplingPlan
from assessment.models.standardising import criteria_of

SEEN = "In the table of readings and in the text; it covers what the criterion asks."
MISSED = "The table has it, the text does not argue from it; that is not enough for me."
READING = "What the text argues from counts; figures in the table alone do not meet it."
PLAIN = "The evidence in the table and at the bench is enough, as all three read it."
OUTCOME = "The three differed on one criterion and agreed that the text has to argue from the figures."


def compare_one(plan: SamplingPlan, cast: Cast, *, now: datetime) -> None:
    """A piece of the sample's unit; whoever decided on it does not judge it."""
    piece = plan.portfolios.order_by("-order")[0].submission
    judges = [cast.second_teacher, cast.verifier, cast.lead_verifier]
    made = open_standardisation(
        by=cast.lead_verifier, title="Piece 1, paper chromatography", piece=piece, assessors=judges, now=now
    )
    criteria = criteria_of(made)
    doubted = criteria[-1]
    for place, judge in enumerate(judges):
        strict = place == 1
        judged = [
            Judged(one, "not yet met", MISSED) if strict and one == doubted else Judged(one, "met", SEEN)
            for one in criteria
        ]
        at = now + timedelta(hours=1 + place)
        judge_blind(by=judge, standardisation=made, judged=judged, now=at)
    reveal_judgements(by=cast.lead_verifier, standardisation=made, now=now + timedelta(hours=5))
    close_standardisation(
        by=cast.lead_verifier,
        standardisation=made,
        readings=[
            Reading(one, "not yet met", READING) if one == doubted else Reading(one, "met", PLAIN)
            for one in criteria
        ],
        outcome=OUTCOME,
        now=now + timedelta(hours=6),
    )
