"""How the demo's papers run up: put in, looked at through the glass, taken out. All of it invented."""

import random
from datetime import datetime, timedelta
from decimal import Decimal

from assessment.management.scenario.measuring import TruePaper
from practicals.actions.mark_front import mark_front
from practicals.actions.start_development import start_development
from practicals.actions.take_out import take_out
from practicals.models import Paper, User

#: A butanol mixture takes about an hour to the height wanted; papers differ by a few minutes.
USUAL_MINUTES, SPREAD_MINUTES = 52, 3
#: When people look, in parts of the run.
LOOKED_AT = (0.15, 0.4, 0.7)


def run_up(paper: Paper, true: TruePaper, members: list[User], *, put_in: datetime, now: datetime) -> None:
    """A paper's run as far as it has come by `now`: the square-root law, read to half a millimetre."""
    rng = random.Random(f"{paper.group.session.title} {paper.group.number} {paper.letter}")  # noqa: S311
    immersed = paper.group.session.practical.chamber_depth_mm
    minutes = rng.gauss(USUAL_MINUTES, SPREAD_MINUTES)
    start_development(by=members[0], paper=paper, immersed_mm=immersed, now=put_in)
    for place, part in enumerate(LOOKED_AT):
        at = put_in + timedelta(minutes=round(minutes * part))
        seen = float(true.front_mm - immersed) * part**0.5 + rng.gauss(0, 0.4)
        if at <= now:
            height = Decimal(round(seen * 2)) / 2
            mark_front(by=members[place % len(members)], paper=paper, height_mm=height, now=at)
    out = put_in + timedelta(minutes=round(minutes))
    if out <= now:
        take_out(by=members[-1], paper=paper, now=out)
