"""What one reads when something went wrong."""

from django.test import Client
from django.urls import reverse


def test_a_form_from_before_another_sign_in_is_refused_in_words_of_our_own(cast):
    """Each sign-in makes the tokens of pages that were open before void."""
    strict = Client(enforce_csrf_checks=True)
    strict.get(reverse("people:sign_in"))
    before = strict.cookies["csrftoken"].value
    strict.force_login(cast.administrator, backend="practicals.gate.TableBackend")
    strict.cookies["csrftoken"] = before[::-1]
    typed = {"csrfmiddlewaretoken": before, "name": "Another College"}
    answer = strict.post(reverse("people:centre"), typed)
    assert answer.status_code == 403
    html = answer.content.decode()
    assert "This form is out of date" in html
    assert "Nothing was changed" in html
    assert "CSRF" not in html
