"""Questions about equal figures that stand around one learner's work, with the answers given."""

from assessment.models.evidence import Work
from practicals.models import GroupMember
from practicals.models.equal_figures import EqualFigures, equal_figures


def questions_about(work: Work) -> list[EqualFigures]:
    """From the assignment’s sessions and those where the learner caught up, in a fixed number of queries."""
    sessions = set(work.assignment.sessions.values_list("pk", flat=True))
    caught_up = GroupMember.objects.filter(home_session__in=sessions, learner=work.learner_id)
    sessions.update(caught_up.values_list("session", flat=True))
    return [one for one in equal_figures(sessions) if one.concerns(work.learner_id)]
