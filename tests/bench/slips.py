"""How many readings a second the slip ranking judges, on one core."""

import random
from decimal import Decimal
from time import perf_counter

from practicals.calculations.slips import Neighbour, explain

READINGS = 4000


def report():
    rng = random.Random(7)
    cases = []
    for _ in range(READINGS):
        front = Decimal(rng.randint(60, 130))
        spot = Decimal(rng.randint(3, int(front) - 1))
        stated = f"{rng.uniform(0.02, 1.4):.2f}"
        cases.append((stated, spot, front, Decimal(rng.randint(3, int(front) - 1))))
    start = perf_counter()
    for stated, spot, front, beside in cases:
        explain(
            stated,
            spot_mm=spot + 20,
            origin_mm=Decimal(20),
            front_mm=front + 20,
            origin_height_mm=Decimal(20),
            paper_height_mm=Decimal(170),
            leading_mm=spot + 23,
            neighbours=(Neighbour("2", beside + 20),),
        )
    rate = READINGS / (perf_counter() - start)
    return [("slip ranking, readings a second on one core", f"{rate:,.0f}", "at least 2,000")]
