"""Groups, guests who catch up, and the slips that learners sign in with."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from practicals.access import led_learners, planned_sessions
from practicals.actions.arrange_groups import arrange_groups
from practicals.actions.issue_bench_codes import (
    NothingToIssue,
    NotIssuedYet,
    issue_bench_codes,
    issued_bench_codes,
)
from practicals.actions.join_catch_up import join_catch_up
from practicals.actions.regroup import regroup
from practicals.documents.sign_in_slips import slips_pdf
from practicals.gate import PersonRequest
from practicals.models import GroupMember, Session
from practicals.pages.plan.attempt import attempt
from practicals.pages.plan.gather import absentees, grouped, listed_sessions, places, ungrouped_learners
from practicals.pages.plan.group_forms import ArrangeForm, CatchUpForm, DrawForm
from practicals.pages.plan.session_views import trail_to


def groups(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(planned_sessions(request.user).select_related("teaching_class"), uuid=uuid)
    drawing = request.method == "POST" and "draw" in request.POST
    moving = request.method == "POST" and not drawing
    standing, ungrouped = grouped(found), ungrouped_learners(found)
    arrange = ArrangeForm(
        request.POST if moving else None, session=found, groups=standing, ungrouped=ungrouped
    )
    seen = {"version": found.version, "group_size": found.group_size}
    draw = DrawForm(request.POST if drawing else None, initial=seen)
    done: Session | None = None
    if drawing and draw.is_valid():
        done = attempt(draw, lambda: _draw(request, found, draw))
    elif moving and arrange.is_valid():
        done = attempt(arrange, lambda: _arrange(request, found, arrange))
    if done:
        messages.success(request, "The groups are drawn afresh." if drawing else "The groups are saved.")
        return redirect("plan:groups" if drawing else "plan:session", found.uuid)
    context = {"session": found, "arrange": arrange, "draw": draw, "groups": standing}
    return render(request, "practicals/plan/groups.html", {**context, "trail": trail_to(found, "Groups")})


def _draw(request: PersonRequest, session: Session, form: DrawForm) -> Session:
    typed = form.cleaned_data
    return regroup(
        by=request.user,
        session=session,
        seed=typed["seed"],
        group_size=typed["group_size"],
        seen_version=typed["version"],
        now=timezone.now(),
    )


def _arrange(request: PersonRequest, session: Session, form: ArrangeForm) -> Session:
    return arrange_groups(
        by=request.user,
        session=session,
        places=form.places,
        seen_version=form.cleaned_data["version"],
        now=timezone.now(),
    )


def catch_up(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(listed_sessions(request.user), uuid=uuid)
    people = absentees(request.user, found)
    rooms = places(found)
    form = CatchUpForm(request.POST if request.method == "POST" else None, people=people, places=rooms)
    if form.is_valid():
        member = attempt(form, lambda: _join(request, found, form))
        if member:
            messages.success(
                request, f"{member.learner} catches up here, in {member.group}. Print a slip for them."
            )
            return redirect("plan:session", found.uuid)
    context = {"session": found, "form": form, "people": people, "trail": trail_to(found, "Catch-up")}
    return render(request, "practicals/plan/catch_up.html", context)


def _join(request: PersonRequest, session: Session, form: CatchUpForm) -> GroupMember:
    person = form.people[form.cleaned_data["person"]]
    return join_catch_up(
        by=request.user,
        learner=person.learner,
        home_session=person.home_session,
        session=session,
        group=form.groups[form.cleaned_data["group"]],
        now=timezone.now(),
    )


@require_http_methods(["GET", "POST"])
def slips(request: PersonRequest, uuid: str) -> HttpResponse:
    """Print slips already made; a form makes them first. With `learner` in the query, theirs alone."""
    found = get_object_or_404(listed_sessions(request.user), uuid=uuid)
    wanted = request.GET.get("learner", "")
    learners = [one for one in led_learners(found) if str(one.uuid) == wanted] if wanted else None
    if learners == []:
        raise Http404
    now = timezone.now()
    try:
        if request.method == "POST":
            issue_bench_codes(by=request.user, session=found, learners=learners, now=now)
            return redirect(request.get_full_path())
        codes = issued_bench_codes(by=request.user, session=found, learners=learners)
    except NotIssuedYet as error:
        context = {"session": found, "missing": error.missing, "trail": trail_to(found, "Sign-in slips")}
        return render(request, "practicals/plan/slips.html", context)
    except NothingToIssue as error:
        messages.error(request, str(error))
        return redirect("plan:session", found.uuid)
    return HttpResponse(
        slips_pdf(found, codes, now=now),
        content_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="sign-in-slips.pdf"'},
    )


@require_POST
def reissue(request: PersonRequest, uuid: str, learner: str) -> HttpResponse:
    found = get_object_or_404(planned_sessions(request.user), uuid=uuid)
    person = get_object_or_404(led_learners(found), uuid=learner)
    try:
        issue_bench_codes(by=request.user, session=found, learners=[person], reissue=True, now=timezone.now())
    except NothingToIssue as error:
        messages.error(request, str(error))
        return redirect("plan:session", found.uuid)
    return redirect(f"{reverse('plan:slips', args=[found.uuid])}?learner={person.uuid}")
