from dataclasses import replace
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from practicals.calculations.mobile_phase import rule_in_words
from practicals.calculations.mobile_phase_rates import Fault, Rates, World, rates

ROWS: tuple[tuple[Fault, float], ...] = (
    ("none", 0),
    ("mobile phase", 0.03),
    ("mobile phase", 0.05),
    ("mobile phase", 0.08),
    ("mobile phase", -0.05),
    ("mobile phase", -0.08),
    ("front", 5),
    ("front", 10),
    ("origin", 5),
)


class Command(BaseCommand):
    help = "Print how often the solvent check gives a false alarm and how often it notices, by simulation."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--trials", type=int, default=2000, help="simulated classes per line")
        parser.add_argument("--seed", type=int, default=1, help="the same seed gives the same figures")

    def handle(self, *args: Any, **options: Any) -> None:
        world = World()
        self.stdout.write(rule_in_words())
        self.stdout.write(
            f"Simulated: {options['trials']} classes a line, seed {options['seed']}, standards at R_f"
            f" {', '.join(f'{rf:.2f}' for rf in world.standards)}; standard deviations: paper"
            f" {world.paper_sd}, spot {world.spot_sd}, session as stated. Run {world.run_mm:g} mm."
        )
        self.stdout.write("")
        self.stdout.write(
            "| at fault | by | papers | session sd | mobile phase | that paper | another paper |"
        )
        self.stdout.write("| --- | --- | --- | --- | --- | --- | --- |")
        for papers, session_sd in ((3, 0.01), (8, 0.01), (8, 0.02), (12, 0.01)):
            here = replace(world, papers=papers, session_sd=session_sd)
            for fault, size in ROWS:
                found = rates(here, fault=fault, size=size, trials=options["trials"], seed=options["seed"])
                self.stdout.write(_row(found))


def _row(found: Rates) -> str:
    unit = " mm" if found.fault in {"front", "origin"} else ""
    size = f"{found.size:+g}{unit}" if found.size else "-"
    that = f"{found.right_paper:.1%}" if unit else "-"
    return (
        f"| {found.fault} | {size} | {found.papers} | {found.session_sd} | {found.mobile_phase:.1%}"
        f" | {that} | {found.wrong_paper:.1%} |"
    )
