"""
Every setting of the server, read from the environment; the defaults are the embedded shop:
one process, SQLite, no Redis.
"""

from pathlib import Path

import environ
from django.core.exceptions import ImproperlyConfigured

ROOT = Path(__file__).resolve().parents[2]
env = environ.Env()

VAR_DIR = Path(env("SHOPFLOOR_VAR", default=str(ROOT / "var")))
DEBUG = env.bool("SHOPFLOOR_DEBUG", default=False)


def _secret_key() -> str:
    """The key of the environment, or one made once and kept beside the embedded database."""
    given = env("SHOPFLOOR_SECRET_KEY", default="")
    if given:
        return str(given)
    kept = VAR_DIR / "secret-key"
    if not kept.exists():
        import secrets

        VAR_DIR.mkdir(parents=True, exist_ok=True)
        kept.touch(mode=0o600)
        kept.write_text(secrets.token_urlsafe(50))
    return kept.read_text().strip()


SECRET_KEY = _secret_key()
SECRET_KEY_FALLBACKS = env.list("SHOPFLOOR_SECRET_KEY_FALLBACKS", default=[])
BASE_URL = env("SHOPFLOOR_BASE_URL", default="http://localhost:8000").rstrip("/")
if not BASE_URL.startswith(("http://", "https://")):
    raise ImproperlyConfigured(
        f"SHOPFLOOR_BASE_URL is “{BASE_URL}”: write it like https://shop.example.org"
    )
SECURE = BASE_URL.startswith("https://")
ALLOWED_HOSTS = env.list(
    "SHOPFLOOR_ALLOWED_HOSTS",
    default=["localhost", "127.0.0.1", BASE_URL.split("://", 1)[1].split(":")[0].split("/")[0]],
)
CSRF_TRUSTED_ORIGINS = env.list("SHOPFLOOR_CSRF_TRUSTED_ORIGINS", default=[BASE_URL])

INSTALLED_APPS = [
    "shopfloor.config.apps.ShopfloorConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "rest_framework",
    "drf_spectacular",
    "shopfloor.workshop",
    "shopfloor.customers",
    "shopfloor.jobs",
    "shopfloor.outbox",
    "shopfloor.bikes",
    "shopfloor.promises",
    "shopfloor.approvals",
    "shopfloor.handover",
    "shopfloor.intake",
    "shopfloor.sync",
    "shopfloor.desk",
    "shopfloor.calculators",
    "shopfloor.board",
    "shopfloor.sheets",
    "shopfloor.demo",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "shopfloor.config.middleware.content_security_policy",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "shopfloor.config.urls"
WSGI_APPLICATION = "shopfloor.config.wsgi.application"
AUTH_USER_MODEL = "workshop.Person"
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "board"
LOGOUT_REDIRECT_URL = "sign-in"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "shopfloor" / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    }
]

DATABASES = {
    "default": env.db("DATABASE_URL", default=f"sqlite:///{VAR_DIR / 'shopfloor.sqlite3'}")
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # FULL: an accepted answer must survive a power cut; WAL alone may lose the last commits.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    }
else:
    DATABASES["default"]["CONN_MAX_AGE"] = env.int("SHOPFLOOR_CONN_MAX_AGE", default=60)
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

PASSWORD_HASHERS = ["django.contrib.auth.hashers.PBKDF2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

LANGUAGE_CODE = "en-gb"
LOCALE_PATHS = [ROOT / "shopfloor" / "locale"]
# English is in the code; another language is there once its catalogue is compiled (make words).
LANGUAGES = [
    ("en-gb", "English"),
    *(
        (folder.parts[-3], folder.parts[-3])
        for folder in LOCALE_PATHS[0].glob("*/LC_MESSAGES/django.mo")
    ),
]
TIME_ZONE = "UTC"
USE_I18N = True
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = VAR_DIR / "static"
STATICFILES_DIRS = [ROOT / "shopfloor" / "static"]
WHITENOISE_USE_FINDERS = True
# A file with the hash of its content in its name never changes: page-6bd80b405a.js
WHITENOISE_IMMUTABLE_FILE_TEST = r"^/static/bench/.+-[0-9a-zA-Z]{8,10}\.\w+$"
MEDIA_ROOT = VAR_DIR / "media"
DATA_UPLOAD_MAX_MEMORY_SIZE = 12 * 1024 * 1024

SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SECURE = SECURE
SESSION_COOKIE_NAME = "__Host-session" if SECURE else "shopfloor-session"
CSRF_COOKIE_SECURE = SECURE
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_NAME = "__Host-csrf" if SECURE else "shopfloor-csrf"
# same-origin, not no-referrer: with the latter browsers send "Origin: null" and forms are refused.
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_HSTS_SECONDS = 31_536_000 if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE
SECURE_HSTS_PRELOAD = SECURE
SECURE_SSL_REDIRECT = env.bool("SHOPFLOOR_SSL_REDIRECT", default=SECURE)
SECURE_PROXY_SSL_HEADER = (
    ("HTTP_X_FORWARDED_PROTO", "https")
    if env.bool("SHOPFLOOR_BEHIND_PROXY", default=False)
    else None
)
X_FRAME_OPTIONS = "DENY"

REST_FRAMEWORK = {
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_AUTHENTICATION_CLASSES": [],
    "DEFAULT_PERMISSION_CLASSES": [],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "UNAUTHENTICATED_USER": None,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Shopfloor",
    "DESCRIPTION": "What the phone at the stand and the workshop's server say to each other.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
}

# Without a broker URL the worker runs inside the server's process; rows in the database are the
# truth either way, the broker only rings the bell.
CELERY_BROKER_URL = env("CELERY_BROKER_URL", default="memory://")
SHOPFLOOR_SWEEP_SECONDS = env.float("SHOPFLOOR_SWEEP_SECONDS", default=2.0)

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "filters": {"hide_links": {"()": "shopfloor.config.logs.HideLinks"}},
    "handlers": {
        "console": {
            "class": "logging.StreamHandler",
            "formatter": "plain",
            "filters": ["hide_links"],
        }
    },
    "root": {"handlers": ["console"], "level": env("SHOPFLOOR_LOG_LEVEL", default="WARNING")},
}
