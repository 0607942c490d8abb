"""Tags that every template may use."""

import uuid
from datetime import datetime
from decimal import Decimal
from typing import Any

from django import forms, template
from django.utils import timezone
from django.utils.html import format_html

register = template.Library()


@register.simple_tag(takes_context=True)
def once(context: Any) -> str:
    """The once-only key of a form that changes something, and who opened it.

    What was typed comes back with the same key.
    """
    request = context.get("request")
    sent = request.POST.get("once", "") if request is not None and request.method == "POST" else ""
    opened_by = getattr(getattr(request, "user", None), "uuid", "")
    return format_html(
        '<input type="hidden" name="once" value="{}"><input type="hidden" name="opened_by" value="{}">',
        sent or uuid.uuid4(),
        opened_by,
    )


@register.filter
def day(value: datetime | None) -> str:
    """A date as people say it: Tue 8 Dec 2026."""
    if not value:
        return ""
    local = timezone.localtime(value)
    return f"{local:%a} {local.day} {local:%b %Y}"


@register.filter
def moment(value: datetime | None) -> str:
    """A time as people say it: Tue 8 Dec 2026, 14:05."""
    return f"{day(value)}, {timezone.localtime(value):%H:%M}" if value else ""


@register.filter
def plain(value: Decimal | None) -> str:
    """A decimal without trailing noughts or exponent: 12.500 is 12.5."""
    if value is None:
        return ""
    text = f"{Decimal(value):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@register.filter
def keeps_what_was_typed(form: forms.BaseForm) -> bool:
    """Whether a refused form comes back as it was typed: a passphrase never does."""
    return not any(isinstance(field.widget, forms.PasswordInput) for field in form.fields.values())


@register.filter
def in_short(value: Decimal | None) -> str:
    """An amount as far as anybody reads it, to four digits: 874.784 is 874.8, 2360.08 is 2360."""
    if not value:
        return plain(value)
    digits = max(0, 3 - Decimal(value).adjusted())
    return plain(round(Decimal(value), digits))
