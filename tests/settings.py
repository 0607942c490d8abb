"""The project's settings, made quick for tests: plain static files, a cheap password hash."""

import os

os.environ.setdefault("WICKMARK_MODE", "room")

from practicals.settings import *  # noqa: F403

STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
AXES_ENABLED = False
# Jobs run where they are asked for, so that a test sees their result.
Q_CLUSTER = {**Q_CLUSTER, "sync": True}  # noqa: F405
