"""Settings of one shop: everything that differs between shops comes from its data folder."""

import os

from witnessmark.web.folder import data_folder, secret_key

DATA = data_folder()
SECRET_KEY = secret_key(DATA)
DEBUG = False
ALLOWED_HOSTS = os.environ.get("WITNESSMARK_HOSTS", "127.0.0.1,localhost,[::1],testserver").split(
    ","
)
INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "django_tasks",
    "django_tasks_db",
    "witnessmark.log",
    "witnessmark.people",
    "witnessmark.shop",
    "witnessmark.record",
    "witnessmark.web",
]
AUTH_USER_MODEL = "people.Person"
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "witnessmark.web.middleware.content_policy",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "witnessmark.web.middleware.who_is_here",
    "witnessmark.web.middleware.bench_errors",
]
ROOT_URLCONF = "witnessmark.web.urls"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.messages.context_processors.messages",
                "witnessmark.web.context.every_page",
            ],
        },
    }
]
WSGI_APPLICATION = "witnessmark.web.wsgi.application"

if os.environ.get("DATABASE_URL"):
    import dj_database_url

    DATABASES = {"default": dj_database_url.config(conn_max_age=None)}
else:
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": DATA / "shop.sqlite3",
            "CONN_MAX_AGE": None,
            "OPTIONS": {
                "timeout": 20,
                "transaction_mode": "IMMEDIATE",
                "init_command": (
                    "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; "
                    "PRAGMA foreign_keys=ON; PRAGMA busy_timeout=20000; "
                    "PRAGMA secure_delete=ON;"  # what is erased leaves no bytes behind
                ),
            },
        }
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

LANGUAGE_CODE = "en"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"  # stored times; pages show the shop's own zone

STATIC_URL = "/static/"
WHITENOISE_USE_FINDERS = True
MEDIA_ROOT = DATA / "photos"
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_000_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 20_000  # a circuit of 400 parts in its table
FILE_UPLOAD_MAX_MEMORY_SIZE = 12_000_000

SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_HTTPONLY = True
SESSION_ENGINE = "django.contrib.sessions.backends.db"
SESSION_COOKIE_AGE = 60 * 60 * 12
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
# The demo clock runs this many seconds ahead of (or behind) the wall clock; 0 in a real shop.
CLOCK_OFFSET_SECONDS = float(os.environ.get("WITNESSMARK_CLOCK_OFFSET", "0"))
