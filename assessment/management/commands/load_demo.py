import os
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from assessment.management.scenario.cast import COLLEGE, PASSWORD
from assessment.management.scenario.story import tell, told
from practicals.actions.issue_bench_codes import issue_bench_codes
from practicals.models import Centre, Role, Session, User

ROLES = (
    ("Teacher", "teacher"),
    ("Teacher, also verifier", "teacher2"),
    ("Technician", "technician"),
    ("Internal verifier", "verifier"),
    ("Lead verifier", "lead"),
    ("Support assistant", "cover"),
    ("Administrator", "admin"),
)


class Command(BaseCommand):
    help = "Load the invented college once, and print a sign-in for each role. Safe to run twice."

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("--address", default="", help="base address for slips and documents")

    def handle(self, *args: Any, **options: Any) -> None:
        if not told():
            if User.objects.exists():
                raise CommandError("There are people in this database already. The demo needs an empty one.")
            address = options["address"] or f"http://127.0.0.1:{os.environ.get('PORT', '8000')}"
            tell(now=timezone.now(), base_address=address)
        self._print_sign_ins()

    def _print_sign_ins(self) -> None:
        if Centre.here().name != COLLEGE:
            return
        self.stdout.write(f"\n{COLLEGE} is invented, and so is everybody in it. Sign in as")
        for label, username in ROLES:
            self.stdout.write(f"  {label:<24} {username:<14} {PASSWORD}")
        learners = User.objects.holding(Role.LEARNER)
        writer = next((one for one in learners if one.has_usable_password()), None)
        if writer:
            self.stdout.write(f"  {'Learner, my work':<24} {writer.username:<14} {PASSWORD}")
        session = Session.objects.filter(
            started_at__isnull=False, readings_locked_at=None, closed_at=None
        ).first()
        if session:
            learner = session.groups.get(number=1).members.filter(home_session=None).first()
            codes = issue_bench_codes(
                by=session.teacher, session=session, learners=[learner.learner], now=timezone.now()
            )
            word = session.teaching_class.class_word
            self.stdout.write(
                f"  {'Learner at the bench':<24} class word {word}, code {codes[0][1]}  (at /b/)"
            )
        self.stdout.write("")
