"""A learner's photos of a paper: sent, looked at, withdrawn."""

from uuid import UUID

from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.cache import get_conditional_response

from practicals.access import own_photos
from practicals.actions.add_photo import add_photo
from practicals.actions.withdraw_photo import withdraw_photo
from practicals.calculations.photo import MEDIA_TYPE, PhotoError
from practicals.models import PaperPhoto
from practicals.pages.bench.desk import LearnerRequest, around, paper_of, photos_of
from practicals.pages.bench.photo_form import PhotoForm


def add(request: LearnerRequest, uuid: UUID) -> HttpResponse:
    """Send a photo, and see each as it is kept: nothing is stored unseen."""
    found = paper_of(request.user, uuid)
    form = PhotoForm()
    if request.method == "POST":
        dropped = getattr(request, "file_too_large", False)
        form = PhotoForm(request.POST, request.FILES, dropped=dropped)
        if form.is_valid():
            try:
                add_photo(by=request.user, paper=found, content=form.content, now=timezone.now())
            except PhotoError as problem:
                form.add_error(None, str(problem))
            else:
                messages.success(request, "Your photo is kept. Look at it: are all spots to be seen?")
                return redirect("bench:add_photo", uuid=uuid)
    context = around(found, "Photo") | {"form": form, "photos": photos_of(request.user, found)}
    return render(request, "practicals/bench/add_photo.html", context)


def photo(request: LearnerRequest, uuid: UUID) -> HttpResponseBase:
    """The picture itself; a POST withdraws it."""
    photos = own_photos(request.user).filter(withdrawn_at=None)
    found = get_object_or_404(photos.select_related("file", "paper__group__session"), uuid=uuid)
    if request.method != "POST":
        return _picture(request, found)
    try:
        withdraw_photo(by=request.user, photo=found, now=timezone.now())
    except PhotoError as problem:
        messages.error(request, str(problem))
    else:
        messages.success(request, "The photo is withdrawn. It no longer counts as evidence.")
    return redirect("bench:add_photo", uuid=found.paper.uuid)


def _picture(request: LearnerRequest, found: PaperPhoto) -> HttpResponseBase:
    kept = found.file
    if kept.erased_at or kept.media_type != MEDIA_TYPE or not default_storage.exists(kept.place):
        raise Http404
    etag = f'"{kept.sha256}"'
    response: HttpResponseBase | None = get_conditional_response(request, etag=etag)
    if response is None:
        response = FileResponse(default_storage.open(kept.place), content_type=MEDIA_TYPE)
        response["Content-Disposition"] = 'inline; filename="paper.jpg"'
        response["X-Content-Type-Options"] = "nosniff"
        response["ETag"] = etag
    # A tablet is shared: a kept copy is shown again only to whoever passes the gate again.
    response["Cache-Control"] = "private, no-cache"
    return response
