from django.apps import AppConfig


class ReagentsConfig(AppConfig):
    name = "reagents"
    verbose_name = "Preparing what a practical needs"
