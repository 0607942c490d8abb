from django.apps import AppConfig


class AssessmentConfig(AppConfig):
    name = "assessment"
    verbose_name = "Assessing and verifying"
