"""The once-only key that each changing form carries."""

from django.conf import settings
from django.db import models


class FormKey(models.Model):
    """One sending of one form by one person, and where the answer led.

    A second sending (double click, lost answer, back button) finds the row and gets the first answer.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    key = models.UUIDField()
    answer = models.CharField(max_length=500, blank=True)
    sent_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["person", "key"], name="form_key_once_per_person")]
        indexes = [models.Index(fields=["sent_at"], name="form_key_sent_at")]

    def __str__(self) -> str:
        return str(self.key)
