"""Find the session that a class word and a bench code open, and for whom."""

from datetime import datetime, timedelta

from django.conf import settings
from django.db import transaction

from practicals.audit import record
from practicals.calculations.bench_code import code_digest, read_code, wait_s
from practicals.models import BenchCode, WrongTry

#: Wrong tries older than this are forgotten.
REMEMBERED = timedelta(minutes=15)
LONGEST_WORD = 30


class WrongCode(ValueError):
    """Class word and code open nothing; the message says what to do."""


class TooManyTries(WrongCode):
    """Too many wrong codes lately for this class word from this address."""

    def __init__(self, seconds: int) -> None:
        self.seconds = seconds
        super().__init__(
            f"There were many wrong codes for this class just now. Wait {seconds} seconds, then try again. "
            "Whoever is signed in already is not affected."
        )


def sign_in_at_bench(*, class_word: str, code: str, address: str, now: datetime) -> BenchCode:
    """Give the code's row. It opens one session, as often as needed, until that closes.

    A code that cannot be one (too short, a sign that no code has) is no guess and costs nothing.
    """
    word = class_word.strip().casefold()[:LONGEST_WORD]
    typed = read_code(code)
    _make_wait(word, address, now)
    with transaction.atomic():
        found = _fitting(word, typed)
        if found is not None:
            _refuse_unless_open(found)
            record(
                by=found.learner,
                action="sign_in_at_bench",
                subject=found.session,
                sentence="A learner signed in at the bench.",
            )
            return found
    # Outside the transaction: the refusal below must not take this row back.
    _remember(word, address, now)
    raise WrongCode(
        "This class word and bench code do not fit together. Look at your slip again, or ask your teacher "
        "for a new one."
    )


def _fitting(word: str, code: str) -> BenchCode | None:
    key: str = settings.BENCH_CODE_KEY
    return (
        BenchCode.objects.select_related("session__teaching_class", "learner")
        .filter(
            digest=code_digest(key.encode(), code),
            session__teaching_class__class_word__iexact=word,
            learner__is_active=True,
        )
        .first()
    )


def _refuse_unless_open(found: BenchCode) -> None:
    if found.session.closed_at is not None:
        raise WrongCode(
            "This session is closed, so its bench codes open nothing any more. If you set a passphrase, "
            "sign in with your sign-in name to see your work."
        )
    if found.session.started_at is None:
        raise WrongCode("Your teacher has not started this session yet. Keep your slip and try again then.")


def _make_wait(word: str, address: str, now: datetime) -> None:
    tries = WrongTry.objects.filter(class_word=word, address=address, at__gt=now - REMEMBERED)
    times = list(tries.order_by("-at").values_list("at", flat=True)[:100])
    if times:
        left = times[0] + timedelta(seconds=wait_s(len(times))) - now
        if left > timedelta(0):
            raise TooManyTries(max(1, round(left.total_seconds())))


def _remember(word: str, address: str, now: datetime) -> None:
    WrongTry.objects.filter(at__lt=now - REMEMBERED).delete()
    WrongTry.objects.create(class_word=word, address=address, at=now)
