"""The list of errors above a form says what is true of that form."""

from django import forms
from django.template.loader import render_to_string


class Named(forms.Form):
    name = forms.CharField()


class Secret(Named):
    passphrase = forms.CharField(widget=forms.PasswordInput)


def test_a_form_comes_back_as_it_was_typed_and_says_so():
    assert "What you typed is still here" in render_to_string("bootstrap5/errors.html", {"form": Named({})})


def test_a_passphrase_never_comes_back_so_its_form_does_not_say_so():
    said = render_to_string("bootstrap5/errors.html", {"form": Secret({})})
    assert "Nothing was saved yet" in said
    assert "What you typed is still here" not in said
