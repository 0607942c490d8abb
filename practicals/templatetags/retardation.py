"""The sign of the retardation factor inside sentences that the calculations write."""

from django import template
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe

register = template.Library()


@register.filter
def rf(text: str) -> SafeString:
    """Escape a sentence and set each R_f in it as one prints it: italic R, lowered f."""
    escaped = conditional_escape(text)
    return mark_safe(escaped.replace("R_f", "<i>R</i><sub>f</sub>"))  # noqa: S308 -- escaped just above
