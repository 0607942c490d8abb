"""Settings, read from the environment.

WICKMARK_MODE   room (default): one laptop, plain HTTP on a local network
                demo: as room, with invented data
                college: HTTPS behind a proxy, all deployment checks clean
WICKMARK_HOME   folder for the database, files and generated secrets (default: .wickmark)
DATABASE_URL    PostgreSQL when SQLite is outgrown
WICKMARK_HOSTS  comma-separated host names that the server answers to
WICKMARK_PROXIES  how many proxies of one's own stand in front (college: 1, else 0)
"""

import contextlib
import os
import secrets
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF

BASE_DIR = Path(__file__).resolve().parent.parent
MODE = os.environ.get("WICKMARK_MODE", "room")
HOME = Path(os.environ.get("WICKMARK_HOME", BASE_DIR / ".wickmark")).resolve()
if MODE not in {"room", "demo", "college"}:
    raise ValueError(f"WICKMARK_MODE is {MODE!r}; it must be room, demo or college.")

#: So many of the last addresses in X-Forwarded-For are our own proxies' word; the rest is anybody's.
_proxies = os.environ.get("WICKMARK_PROXIES", "1" if MODE == "college" else "0")
if not (_proxies.isascii() and _proxies.isdigit() and len(_proxies) == 1):
    raise ValueError(f"WICKMARK_PROXIES is {_proxies!r}; it must be a number of proxies from 0 to 9.")
PROXIES = int(_proxies)


def kept_secret(name: str) -> str:
    """A secret that is made once and kept, so that sessions and bench codes outlive a restart."""
    path = HOME / "secrets" / name
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        fresh = path.with_name(f"{name}.{os.getpid()}")
        fresh.touch(mode=0o600)
        fresh.write_text(secrets.token_urlsafe(64))
        with contextlib.suppress(FileExistsError):  # another process was first: its secret stands for both
            os.link(fresh, path)
        fresh.unlink()
    return path.read_text().strip()


SECRET_KEY = os.environ.get("WICKMARK_SECRET_KEY") or kept_secret("secret_key")
BENCH_CODE_KEY = kept_secret("bench_code_key")
DEBUG = False
ALLOWED_HOSTS = [
    host.strip()
    for host in os.environ.get(
        "WICKMARK_HOSTS", "*" if MODE == "room" else "localhost,127.0.0.1,[::1]"
    ).split(",")
    if host.strip()
]
CSRF_TRUSTED_ORIGINS = [origin for origin in os.environ.get("WICKMARK_ORIGINS", "").split(",") if origin]

INSTALLED_APPS = [
    "practicals.apps.PracticalsConfig",
    "assessment.apps.AssessmentConfig",
    "reagents.apps.ReagentsConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.humanize",
    "django.contrib.staticfiles",
    "crispy_forms",
    "crispy_bootstrap5",
    "django_htmx",
    "django_q",
    "axes",
    "csp",
]
MIDDLEWARE = [
    "practicals.pages.sender.SenderMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "practicals.pages.zone.CentreZoneMiddleware",
    "practicals.pages.bench_idle.BenchIdleMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "practicals.gate.BenchScopeMiddleware",
    "practicals.pages.kept_entry.KeptEntryMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "practicals.gate.GateMiddleware",
    "practicals.gate.OnceOnlyMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "practicals.gate.TableBackend",
]
ROOT_URLCONF = "practicals.urls"
WSGI_APPLICATION = "practicals.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "practicals.pages.frame.frame",
            ],
            "builtins": ["practicals.templatetags.wickmark"],
        },
    }
]

# SQLite options were tried under load: without IMMEDIATE, two transactions that read before they
# write meet in "database is locked"; synchronous=FULL keeps the last commits through a power cut.
SQLITE_OPTIONS = {
    "timeout": 20,
    "transaction_mode": "IMMEDIATE",
    "init_command": (
        "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;"
        "PRAGMA cache_size=-20000; PRAGMA temp_store=MEMORY;"
    ),
}
DATABASES = {
    "default": dj_database_url.config(
        default=f"sqlite:///{HOME / 'db.sqlite3'}", conn_max_age=60, conn_health_checks=True
    )
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["OPTIONS"] = SQLITE_OPTIONS
    # A file, since the in-memory database answers "table is locked" when a live server has threads.
    DATABASES["default"]["TEST"] = {"NAME": str(HOME / "test.sqlite3")}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "practicals.User"
LOGIN_URL = "people:sign_in"
LOGIN_REDIRECT_URL = "home:home"
PASSWORD_HASHERS = [
    "practicals.passwords.BenchArgon2PasswordHasher",
    "django.contrib.auth.hashers.Argon2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours
# A whole school shares one address: lock the name at that address, never the address alone.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_LOCKOUT_TEMPLATE = "practicals/people/locked_out.html"
AXES_RESET_ON_SUCCESS = True
AXES_VERBOSE = False
SESSION_COOKIE_AGE = 60 * 60 * 10
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_SAVE_EVERY_REQUEST = False

LANGUAGE_CODE = "en-gb"
TIME_ZONE = "UTC"
USE_TZ = True
USE_I18N = True

STATIC_URL = "static/"
STATIC_ROOT = HOME / "static"
FILES_ROOT = HOME / "files"
STORAGES = {
    "default": {
        "BACKEND": "django.core.files.storage.FileSystemStorage",
        "OPTIONS": {"location": FILES_ROOT},
    },
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FILES = 5
# The first one drops a file that is larger than any page takes, before it fills the disk.
FILE_UPLOAD_HANDLERS = [
    "practicals.pages.uploads.LimitedUploadHandler",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000
CRISPY_ALLOWED_TEMPLATE_PACKS = "bootstrap5"
CRISPY_TEMPLATE_PACK = "bootstrap5"
CRISPY_FAIL_SILENTLY = False

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "worker-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
CSRF_FAILURE_VIEW = "practicals.pages.errors.form_refused"
SECURE_REFERRER_POLICY = "same-origin"
if MODE == "college":
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_SSL_REDIRECT = True
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
SILENCED_SYSTEM_CHECKS = ["axes.W003"] if MODE != "college" else []

Q_CLUSTER = {
    "name": "wickmark",
    "orm": "default",
    "workers": 1,
    "recycle": 50,
    "timeout": 600,
    "retry": 900,
    "max_attempts": 3,
    "catch_up": False,
    "poll": 1,
    "label": "Jobs",
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {"axes": {"level": "ERROR"}},
}
