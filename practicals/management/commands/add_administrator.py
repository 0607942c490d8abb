"""Add an administrator from the server's own terminal: the first account of a new centre."""

from getpass import getpass
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from practicals.actions.add_account import CannotAddAccount, add_account
from practicals.models import Role


class Command(BaseCommand):
    help = "Add an administrator, who then adds everybody else in the browser."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("username", help="sign-in name: letters a to z and digits")
        parser.add_argument("name", help="the person's name, in quotation marks")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            person = add_account(
                by=None,
                username=options["username"],
                name=options["name"],
                roles=[Role.ADMINISTRATOR],
                password=getpass("Password, at least 10 letters, digits or signs: "),
                now=timezone.now(),
            )
        except CannotAddAccount as error:
            raise CommandError(str(error)) from error
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        self.stdout.write(f"{person.name} can sign in now, with the name {person.username}.")
