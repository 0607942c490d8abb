"""What the coming fortnight needs and the shelf does not hold."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from reagents.documents.order_list import order_csv as as_csv
from reagents.documents.order_list import order_of


@require_safe
def order(request: HttpRequest) -> HttpResponse:
    found = order_of(timezone.now())
    trail = [("Shelf", reverse("stock:shelf")), ("Order list", "")]
    return render(request, "reagents/stock/order.html", {"order": found, "trail": trail})


@require_safe
def order_csv(request: HttpRequest) -> HttpResponse:
    found = order_of(timezone.now())
    answer = HttpResponse(as_csv(found), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="order-list-{found.first:%Y-%m-%d}.csv"'
    return answer
