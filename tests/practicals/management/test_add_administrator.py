import pytest
from django.core.management import CommandError, call_command

from practicals.models import User


def add(monkeypatch, password, username="ada"):
    monkeypatch.setattr("practicals.management.commands.add_administrator.getpass", lambda _: password)
    call_command("add_administrator", username, "Ada Administrator")


def test_a_new_centre_gets_its_first_administrator(db, monkeypatch, capsys):
    add(monkeypatch, "three quiet otters")
    person = User.objects.get(username="ada")
    assert person.roles == {"administrator"}
    assert person.check_password("three quiet otters")
    assert "otters" not in capsys.readouterr().out


@pytest.mark.parametrize(
    ("password", "username", "says"),
    [("short", "ada", "at least 10"), ("three quiet otters", "-", "letters")],
)
def test_what_cannot_be_is_a_sentence(db, monkeypatch, password, username, says):
    with pytest.raises(CommandError, match=says):
        add(monkeypatch, password, username=username)
    assert not User.objects.exists()
