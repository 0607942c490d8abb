"""Bench sign-in: a code per learner and session, kept only as a keyed digest."""

from django.db import models

from practicals.models.people import User
from practicals.models.session import Session


class BenchCode(models.Model):
    """Valid until its session closes or a newer one is issued."""

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="bench_codes")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="bench_codes")
    serial = models.PositiveIntegerField(default=1)
    digest = models.CharField(max_length=64, unique=True)
    issued_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["session", "learner"], name="bench_code_one_valid")]

    def __str__(self) -> str:
        return f"bench code {self.serial} of {self.learner}"


class WrongTry(models.Model):
    """A bench code that did not fit, to slow down guessing for one class word at one address."""

    class_word = models.CharField(max_length=30)
    address = models.CharField(max_length=45)
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["class_word", "address", "at"], name="wrong_try_lookup")]

    def __str__(self) -> str:
        return f"{self.class_word} at {self.at}"
