from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from assessment.actions.check_document import LARGEST_BYTES, check_document


class Command(BaseCommand):
    help = "Say whether a file was issued here and is unaltered. Ends with an error if it is not."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("path", type=Path, help="the PDF or ZIP file")

    def handle(self, *args: Any, path: Path, **options: Any) -> None:
        try:
            with path.open("rb") as file:
                content = file.read(LARGEST_BYTES + 1)
        except OSError as error:
            raise CommandError(f"{path} cannot be read: {error.strerror}.") from error
        found = check_document(content=content)
        said = " ".join((found.headline, *found.sentences))
        if found.verdict != "unaltered":
            raise CommandError(said)
        self.stdout.write(said)
