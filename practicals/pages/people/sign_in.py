"""Signing in by name or by bench code, and out again."""

from django.contrib import messages
from django.contrib.auth import authenticate, login, logout, update_session_auth_hash
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from practicals.actions.change_password import WrongPassword, change_password
from practicals.actions.set_passphrase import WrongPassphrase, set_passphrase
from practicals.actions.sign_in_at_bench import WrongCode, sign_in_at_bench
from practicals.calculations.bench_code import UnreadableCode
from practicals.gate import PersonRequest
from practicals.models import BenchCode
from practicals.pages.bench_idle import start_idle_clock
from practicals.pages.people.forms import BenchSignInForm, NewSecretForm, SignInForm
from practicals.pages.people.own_host import next_page

BACKEND = "practicals.gate.TableBackend"
NO_FIT = (
    "That name and password do not fit together. Check both: capital letters count in the password, not in "
    "the name. If you forgot the password, ask your teacher or administrator."
)


@login_not_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    onward = next_page(request, reverse("home:home"))
    if request.method == "GET" and request.user.is_authenticated and request.user.bench_session is None:
        return HttpResponseRedirect(onward)
    form = SignInForm(request.POST or None, initial={"username": request.GET.get("name", "")[:60]})
    if form.is_valid():
        person = authenticate(request, **form.cleaned_data)
        if person is not None:
            _forget_bench(request)
            login(request, person)
            return HttpResponseRedirect(onward)
        form.add_error(None, NO_FIT)
    wanted = next_page(request, "")
    return render(request, "practicals/people/sign_in.html", {"form": form, "next": wanted})


@login_not_required
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """From the bench straight to the next learner's sign-in, the class word kept."""
    word = request.session.get("bench_word") if "bench_session" in request.session else None
    logout(request)
    if word:
        return HttpResponseRedirect(f"{reverse('people:bench_sign_in')}?{urlencode({'word': word})}")
    return redirect("people:sign_in")


@login_not_required
@never_cache
@sensitive_post_parameters("code")
@require_http_methods(["GET", "POST"])
def bench_sign_in(request: HttpRequest) -> HttpResponse:
    if request.method == "GET" and "code" in request.GET:
        return _take_from_address(request)
    if request.method == "GET":
        shown = {"word": request.GET.get("word", ""), **request.session.pop("bench_slip", {})}
        return _bench_page(request, BenchSignInForm(initial=shown))
    form = BenchSignInForm(request.POST)
    if form.is_valid():
        try:
            found = sign_in_at_bench(
                class_word=form.cleaned_data["word"],
                code=form.cleaned_data["code"],
                address=request.META.get("REMOTE_ADDR", "")[:45],
                now=timezone.now(),
            )
        except UnreadableCode as error:
            form.add_error("code", str(error))
        except WrongCode as error:
            form.add_error(None, str(error))
        else:
            return _open_bench(request, found)
    return _bench_page(request, form)


def _bench_page(request: HttpRequest, form: BenchSignInForm) -> HttpResponse:
    return render(request, "practicals/people/bench_sign_in.html", {"form": form})


def _take_from_address(request: HttpRequest) -> HttpResponse:
    """Move the slip's code out of the address, which a shared tablet would keep in its history."""
    request.session["bench_slip"] = {name: request.GET.get(name, "")[:60] for name in ("word", "code")}
    return redirect("people:bench_sign_in")


def _open_bench(request: HttpRequest, found: BenchCode) -> HttpResponse:
    logout(request)
    login(request, found.learner, backend=BACKEND)
    request.session["bench_session"] = str(found.session.uuid)
    request.session["bench_code"] = found.serial
    request.session["bench_word"] = found.session.teaching_class.class_word
    start_idle_clock(request)
    if not found.learner.has_usable_password():
        offer = 'To see your work and feedback at home, you may <a href="{}">set a passphrase</a>.'
        messages.info(request, format_html(offer, reverse("people:passphrase")))
    return redirect("bench:session", found.session.uuid)


def _forget_bench(request: HttpRequest) -> None:
    """A sign-in by name is not narrowed to the session that a code had opened before."""
    for key in ("bench_session", "bench_code", "bench_word", "bench_seen"):
        request.session.pop(key, None)
    request.session.set_expiry(None)


@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def passphrase(request: PersonRequest) -> HttpResponse:
    learner = request.user
    form = NewSecretForm(request.POST or None, word="passphrase", has_one=learner.has_usable_password())
    if form.is_valid():
        try:
            changed = set_passphrase(
                by=learner,
                passphrase=form.cleaned_data["fresh"],
                present=form.cleaned_data.get("present", ""),
                now=timezone.now(),
            )
        except WrongPassphrase as error:
            form.add_error("present" if "present" in form.fields else None, str(error))
        except ValidationError as error:
            form.add_error("fresh", error)
        else:
            update_session_auth_hash(request, changed)
            messages.success(request, f"Your passphrase is set. Your sign-in name is {changed.username}.")
            return redirect("bench:home")
    return render(request, "practicals/people/passphrase.html", {"form": form})


@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def password(request: PersonRequest) -> HttpResponse:
    form = NewSecretForm(request.POST or None, word="password", has_one=True)
    if form.is_valid():
        try:
            changed = change_password(
                by=request.user,
                present=form.cleaned_data["present"],
                password=form.cleaned_data["fresh"],
                now=timezone.now(),
            )
        except WrongPassword as error:
            form.add_error("present", str(error))
        except ValidationError as error:
            form.add_error("fresh", error)
        else:
            update_session_auth_hash(request, changed)
            messages.success(request, "Your password is changed. Other devices are signed out.")
            return redirect("home:home")
    return render(request, "practicals/people/password.html", {"form": form})
