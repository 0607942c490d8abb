"""The request of somebody whom the gate let in: a person, not a visitor."""

from django.http import HttpRequest

from practicals.models import User


class PersonRequest(HttpRequest):
    user: User
