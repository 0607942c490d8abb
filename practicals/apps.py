from django.apps import AppConfig


class PracticalsConfig(AppConfig):
    name = "practicals"
    verbose_name = "Running a class practical"

    def ready(self) -> None:
        from practicals import audit, gate  # noqa: F401  (connects the audit, registers the checks)
