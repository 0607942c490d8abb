"""Addresses of this journey; who may open them stands in `reagents/access.py`."""

from django.urls import path

from reagents.pages.stock import containers, orders, shelf

app_name = "stock"
urlpatterns = [
    path("", shelf.shelf, name="shelf"),
    path("receive/", shelf.receive, name="receive"),
    path("order/", orders.order, name="order"),
    path("order/list.csv", orders.order_csv, name="order_csv"),
    path("container/<uuid:uuid>/", containers.container, name="container"),
    path("container/<uuid:uuid>/open/", containers.open_it, name="open"),
    path("container/<uuid:uuid>/count/", containers.count, name="count"),
    path("container/<uuid:uuid>/take/", containers.take, name="take"),
    path("container/<uuid:uuid>/move/", containers.move, name="move"),
    path("container/<uuid:uuid>/discard/", containers.discard, name="discard"),
]
