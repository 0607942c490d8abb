"""Sends the learner's form as a browser would."""

import re
from uuid import uuid4

from django.urls import reverse

from practicals.models import ReadingSet


def url(name, record):
    return reverse(f"bench:{name}", args=[record.uuid])


def send(client, name, record, /, *, once=None, **fields):
    return client.post(url(name, record), {"once": once or str(uuid4()), **fields})


def save(client, paper, **fields):
    """Save readings; the version is the saved one unless given."""
    if "version" not in fields:
        user = client.session["_auth_user_id"]
        mine = ReadingSet.objects.filter(paper=paper, learner_id=user).first()
        fields["version"] = mine.version if mine else ""
    return send(client, "readings", paper, **{"unit": "mm", **fields})


def set_of(paper, learner):
    return ReadingSet.objects.whole().get(paper=paper, learner=learner)


def value_of(html, name):
    """What stands in a field of the page."""
    tag = re.search(rf'<input[^>]*name="{name}"[^>]*>', html)[0]
    found = re.search(r'value="([^"]*)"', tag)
    return found[1] if found else ""
