from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from practicals.calculations.slip_trials import confusion, paper_confusion, table


class Command(BaseCommand):
    help = "Make every slip on random valid papers and print how often it is found. Touches no record."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--papers", type=int, default=10_000, help="how many papers (10000)")
        parser.add_argument(
            "--whole", type=int, default=1_000, help="papers with one slip in every lane (1000)"
        )
        parser.add_argument("--seed", type=int, default=1, help="seed of the chance (1)")

    def handle(self, *args: Any, **options: Any) -> None:
        papers, seed = max(1, options["papers"]), options["seed"]
        self.stdout.write(f"One slip in one lane of {papers} random valid papers, seed {seed}:\n\n")
        self.stdout.write(table(confusion(papers, seed=seed)))
        whole = max(1, options["whole"])
        self.stdout.write(f"\nThe same slip in every lane of {whole} random valid papers, seed {seed}:\n\n")
        self.stdout.write(table(paper_confusion(whole, seed=seed)))
