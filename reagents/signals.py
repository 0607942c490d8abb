"""What `reagents` tells whoever listens. `practicals.audit` hears `acted` and keeps it."""

from django.dispatch import Signal

#: Sent inside the action's transaction with by, action, subject, sentence and detail.
acted = Signal()
