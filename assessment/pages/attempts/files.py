"""Reports and notebook pages made elsewhere: attached, opened, withdrawn."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_POST

from assessment.access import own_works, readable_attachments
from assessment.actions.attach_file import attach_file
from assessment.actions.withdraw_attachment import withdraw_attachment
from assessment.models.attempt_state import open_attempt
from assessment.pages.attempts.forms import AttachForm
from practicals.gate import PersonRequest

ENDINGS = {"application/pdf": "pdf", "image/jpeg": "jpg", "text/plain": "txt"}


@require_http_methods(["GET", "HEAD", "POST"])
def attach(request: PersonRequest, uuid: UUID) -> HttpResponse:
    work = get_object_or_404(own_works(request.user).select_related("assignment__brief"), uuid=uuid)
    form = AttachForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        try:
            attach_file(
                by=request.user,
                work=work,
                kind=form.cleaned_data["kind"],
                title=form.cleaned_data["title"],
                content=form.cleaned_data["file"],
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error("file", error)
        else:
            messages.success(request, "The file is attached. It is handed in with your work.")
            return redirect("my_work:work", uuid=uuid)
    context = {"work": work, "form": form, "open": open_attempt(work) is not None}
    return render(request, "assessment/attempts/attach.html", context)


def attachment(request: PersonRequest, uuid: UUID) -> FileResponse:
    """The file itself, never shown inside a page of ours."""
    found = get_object_or_404(readable_attachments(request.user), uuid=uuid)
    if found.file.erased_at or not default_storage.exists(found.file.place):
        raise Http404
    ending = ENDINGS.get(found.file.media_type, "bin")
    return FileResponse(
        default_storage.open(found.file.place),
        as_attachment=True,
        filename=f"{slugify(found.title)[:60] or 'file'}.{ending}",
        content_type=found.file.media_type,
    )


@require_POST
def withdraw(request: PersonRequest, uuid: UUID) -> HttpResponse:
    mine = readable_attachments(request.user).filter(work__in=own_works(request.user).values("pk"))
    found = get_object_or_404(mine.select_related("work"), uuid=uuid)
    try:
        withdraw_attachment(by=request.user, attachment=found, now=timezone.now())
    except ValidationError as error:
        messages.error(request, error.messages[0])
    else:
        messages.success(request, f"“{found.title}” is not handed in any more.")
    return redirect("my_work:work", uuid=found.work.uuid)
