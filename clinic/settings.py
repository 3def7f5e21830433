"""Settings: every one comes from the environment and has a safe default."""

import os
import secrets
from pathlib import Path

import dj_database_url
from csp.constants import SELF

HERE = Path(__file__).resolve().parent.parent


def _flag(name: str, default: str) -> bool:
    return os.environ.get(name, default).lower() in ("1", "true", "yes", "on")


def _own_secret(folder: Path) -> str:
    """A key of this installation's own, made at the first start and kept beside the data."""
    path = folder / "secret_key"
    if not path.exists():
        fresh = folder / f"secret_key.{os.getpid()}"
        fresh.write_text(secrets.token_urlsafe(50), encoding="ascii")
        fresh.chmod(0o600)
        try:
            os.link(fresh, path)  # atomic: of two first starts one wins
        except FileExistsError:
            pass
        finally:
            fresh.unlink()
    return path.read_text(encoding="ascii")


DATA_DIR = Path(os.environ.get("DATA_DIR", HERE / ".data"))
DATA_DIR.mkdir(parents=True, exist_ok=True)

DEBUG = _flag("DEBUG", "no")
SECRET_KEY = os.environ.get("SECRET_KEY") or _own_secret(DATA_DIR)
ALLOWED_HOSTS = os.environ.get("ALLOWED_HOSTS", "localhost,127.0.0.1,[::1]").split(",")
CSRF_TRUSTED_ORIGINS = [
    origin for origin in os.environ.get("TRUSTED_ORIGINS", "").split(",") if origin
]
# Behind TLS (the grown-up set-up): cookies and redirects insist on it.
SECURE = _flag("SECURE", "no")
# Demo accounts may sign in without a second factor, and only in a demo database.
DEMO = _flag("DEMO", "no")
# Everybody gives a second factor; for who is a nurse and nothing else it may be left out.
SECOND_FACTOR_NURSE = _flag("SECOND_FACTOR_NURSE", "yes")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "axes",
    "rest_framework",
    "clinic",
    "surveillance",
    "reports",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "clinic.views.middleware.no_store",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "clinic.views.session_gate.session_gate",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "axes.middleware.AxesMiddleware",
    "clinic.views.unavailable.Unavailable",
]

ROOT_URLCONF = "clinic.urls"
WSGI_APPLICATION = "clinic.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "clinic.views.top_line.top_line",
            ],
        },
    },
]

# SQLite as tried with three processes of read-then-write: none of 3,000 was refused.
_SQLITE_OPTIONS = {
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    "init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=NORMAL;",
}
_database = dj_database_url.parse(
    os.environ.get("DATABASE_URL") or f"sqlite:///{DATA_DIR / 'record.sqlite3'}"
)
if _database["ENGINE"].endswith("sqlite3"):
    _database["OPTIONS"] = _SQLITE_OPTIONS
DATABASES = {"default": _database}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "clinic.Person"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
    )
]
LOGIN_URL = "sign_in"
LOGIN_REDIRECT_URL = "start"
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours: a locked person waits at most 15 minutes
AXES_LOCKOUT_PARAMETERS = ["username", "ip_address"]  # either: many addresses are no way round
# Else whoever goes on trying would hold the account shut for ever.
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_RESET_ON_SUCCESS = True
AXES_HTTP_RESPONSE_CODE = 429
AXES_LOCKOUT_CALLABLE = "clinic.views.account.locked_out"

SESSION_COOKIE_AGE = 12 * 60 * 60
SESSION_EXPIRE_AT_BROWSER_CLOSE = True
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE
SECURE_SSL_REDIRECT = SECURE
SECURE_HSTS_SECONDS = 31_536_000 if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = SECURE
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if SECURE else None
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": ["'none'"],
        "base-uri": [SELF],
        "form-action": [SELF],
        "frame-ancestors": ["'none'"],
    }
}

USE_TZ = True
TIME_ZONE = "UTC"  # moments are stored so; each clinic's own zone makes its days
LANGUAGE_CODE = "en-gb"
USE_I18N = False

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATIC_ROOT.mkdir(exist_ok=True)  # else every start warns that it is not there
WHITENOISE_USE_FINDERS = True

# Embedded default: messages are files below DATA_DIR, and no service runs beside this one.
BROKER_URL = os.environ.get("BROKER_URL", "filesystem://")
QUEUE_DIR = DATA_DIR / "queue"

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "clinic.api.authentication.BearerToken",  # first: it says how to answer 401
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["clinic.api.parsing.StrictJSONParser"],
    "EXCEPTION_HANDLER": "clinic.api.problems.handle",
    "URL_FORMAT_OVERRIDE": None,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "PD Infection Surveillance",
    "DESCRIPTION": "The record of a home peritoneal-dialysis clinic, with its forms' own rules.",
    "VERSION": "1",
    "POSTPROCESSING_HOOKS": [],
    "COMPONENT_SPLIT_PATCH": False,
}

# Faults go to the process's error stream, where whoever runs the service keeps its log.
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "%(asctime)s %(levelname)s %(name)s: %(message)s"}},
    "handlers": {
        "stream": {"class": "logging.StreamHandler", "formatter": "line", "level": "WARNING"}
    },
    "root": {"handlers": ["stream"], "level": "WARNING"},
    # A page that is not there is the asker's affair, a page that broke is ours.
    "loggers": {"django.request": {"level": "ERROR"}},
}
