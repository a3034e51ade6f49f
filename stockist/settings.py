"""Settings, read from the environment. Development needs no variable at all; see DEVELOPERS.md.

Nothing is started here: tools that only read settings (types, migrations check) need no server.
"""

from __future__ import annotations

import os
from datetime import timedelta
from pathlib import Path

from csp.constants import NONE, SELF

from stockist import environment as env
from stockist.database import address
from stockist.kept import kept_secret, made

BASE_DIR = Path(__file__).resolve().parent.parent

_first = env.Environment(os.environ)
STOCKIST_ENV = _first.read("STOCKIST_ENV", env.one_of("development", "production"), "development")
PRODUCTION = STOCKIST_ENV == "production"
_env = env.Environment(os.environ, production=PRODUCTION)
_env.problems += _first.problems

DATA_FOLDER = _env.read("DATA_FOLDER", env.folder, BASE_DIR / ".local")

# --- Who may come in -------------------------------------------------------------------------
DEBUG = _env.read("DEBUG", env.flag, not PRODUCTION)
if PRODUCTION and DEBUG:
    _env.problems.append(
        "DEBUG is on in production, which shows the inside of the shop to anyone: "
        "wanted is no, for example DEBUG=no."
    )
SECRET_KEY = _env.read("SECRET_KEY", env.secret_key, "")
ALLOWED_HOSTS = _env.read(
    "ALLOWED_HOSTS",
    env.hosts if not PRODUCTION else env.hosts_by_name,
    ["localhost", "127.0.0.1", "[::1]"],
)
CSRF_TRUSTED_ORIGINS: list[str] = _env.read("CSRF_TRUSTED_ORIGINS", env.origins, [])
HTTPS = _env.read("HTTPS", env.flag, PRODUCTION)
BEHIND_PROXY = _env.read("BEHIND_PROXY", env.flag, False)
HSTS_SECONDS = _env.read("HSTS_SECONDS", env.number(0, 63_072_000), 31_536_000)
SESSION_HOURS = _env.read("SESSION_HOURS", env.number(1, 168), 12)

# --- What it talks to ------------------------------------------------------------------------
_database = _env.read("DATABASE_URL", address.from_url, None)
REDIS_URL = _env.read("REDIS_URL", env.redis_address, "")

# --- The shop --------------------------------------------------------------------------------
SHOP_NAME = _env.read("SHOP_NAME", env.words, "Tyre stockist")
# Who says whether tyres may leave for the car they were sold for: inventory/release.py asks.
RELEASE = "fitments.release.may_leave"
# Who keeps the approvals on which promises rest: inventory/promising.py asks.
REGISTER = "fitments.release.promising"
HOUSE_AGE_LIMIT_MONTHS = _env.read("HOUSE_AGE_LIMIT_MONTHS", env.number(1, 600), 72)
ALONE_UP_TO_TYRES = _env.read("ALONE_UP_TO_TYRES", env.number(0, 1000), 4)
TIME_ZONE = _env.read("TIME_ZONE", env.time_zone, "Europe/London")
LANGUAGE_CODE = "en-gb"
STATIC_ROOT = _env.read("STATIC_ROOT", env.folder, DATA_FOLDER / "static")
EVIDENCE_ROOT = _env.read("EVIDENCE_ROOT", env.folder, DATA_FOLDER / "evidence")
LOG_LEVEL = _env.read("LOG_LEVEL", env.one_of("DEBUG", "INFO", "WARNING", "ERROR"), "INFO")
_env.finish()

# --- What follows from them ------------------------------------------------------------------
SECRET_KEY = SECRET_KEY or kept_secret(DATA_FOLDER)
if not PRODUCTION:
    made(STATIC_ROOT)  # whitenoise warns of one that is missing, which in production is right
ROOT_URLCONF = "stockist.urls"
# The floors below lead to pages of the shop without knowing where they are.
ABSOLUTE_URL_OVERRIDES = {"ground.job": lambda job: f"/jobs/{job.pk}/"}
WSGI_APPLICATION = "stockist.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
USE_TZ = True
USE_I18N = True

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.postgres",
    "inventory.ground",
    "inventory",
    "fitments",
    "stockist",
    "rest_framework",
    "django_filters",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "knox",
    "axes",
    "simple_history",
    "django_otp",
    "django_otp.plugins.otp_totp",
    "django_otp.plugins.otp_static",
    "django_htmx",
    "csp",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django_otp.middleware.OTPMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "axes.middleware.AxesMiddleware",  # last: it answers for a locked-out sign-in
]
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "builtins": ["stockist.templatetags.shop"],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "stockist.shell.around",
                "stockist.shell.around",
            ],
        },
    }
]
DATABASES = {"default": _database or address.embedded(DATA_FOLDER)}

AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
CSRF_FAILURE_VIEW = "stockist.faults.form_expired"
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign-in"
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_CALLABLE = "stockist.faults.locked_out"
AXES_VERBOSE = False

SESSION_COOKIE_AGE = SESSION_HOURS * 3600
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = HTTPS
# A container's own health check asks over plain http, from inside.
SECURE_REDIRECT_EXEMPT = [r"^healthz$", r"^readyz$"]
SECURE_HSTS_SECONDS = HSTS_SECONDS if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HTTPS
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}

STATIC_URL = "static/"
_static = "StaticFilesStorage" if DEBUG else "ManifestStaticFilesStorage"  # names with a digest
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": f"django.contrib.staticfiles.storage.{_static}"},
}
MEDIA_ROOT = EVIDENCE_ROOT  # never served by address: a view hands files out as attachments
FILE_UPLOAD_PERMISSIONS = 0o640
FILE_UPLOAD_HANDLERS = [
    "inventory.ground.uploads.handler.WithinLimit",  # first: what is too large is kept nowhere
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
CACHES = {
    "default": {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": REDIS_URL}
    if REDIS_URL
    else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
}

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "knox.auth.TokenAuthentication",  # first: an anonymous call is answered 401, not 403
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["inventory.ground.permissions.MayByModel"],
    "DEFAULT_FILTER_BACKENDS": ["django_filters.rest_framework.DjangoFilterBackend"],
    "DEFAULT_PAGINATION_CLASS": "inventory.ground.paging.CursorPages",
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": [
        "rest_framework.parsers.JSONParser",
        "rest_framework.parsers.MultiPartParser",
    ],
    "DEFAULT_THROTTLE_CLASSES": [
        "rest_framework.throttling.AnonRateThrottle",
        "rest_framework.throttling.UserRateThrottle",
    ],
    "DEFAULT_THROTTLE_RATES": {"anon": "60/minute", "user": "1200/minute"},
    "DEFAULT_SCHEMA_CLASS": "inventory.ground.schema.ProblemSchema",
    "EXCEPTION_HANDLER": "inventory.ground.problems.answer_problem",
    "TEST_REQUEST_DEFAULT_FORMAT": "json",
}
REST_KNOX = {"TOKEN_TTL": timedelta(days=90), "TOKEN_LIMIT_PER_USER": 20}
SPECTACULAR_SETTINGS = {
    "TITLE": "Tyre stockist",
    "DESCRIPTION": "What is on the shelf, what suits which car, and what that rests on.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
    "REDOC_DIST": "SIDECAR",
    "SCHEMA_PATH_PREFIX": r"/api/v[0-9]",
    "COMPONENT_SPLIT_REQUEST": True,
    "ENUM_NAME_OVERRIDES": {
        "AxleEnum": "inventory.models.customer.Axle",
        "BlockReasonEnum": "inventory.models.lot.BlockReason",
        "CountStateEnum": "inventory.models.count.CountState",
        "DisagreementEnum": "inventory.models.delivery.Disagreement",
        "EvidenceKindEnum": "fitments.models.evidence.EvidenceKind",
        "HandEnum": "inventory.models.sku.Hand",
        "ReturnReasonEnum": "inventory.models.returned.ReturnReason",
        "ShortReasonEnum": "inventory.models.transfer.ShortReason",
        "WriteOffReasonEnum": "inventory.models.write_off.WriteOffReason",
        "WriteOffStateEnum": "inventory.models.write_off.WriteOffState",
    },
}

# Workers are told of jobs through Redis; without it `manage.py work_jobs` is started when one is
# asked for. What the clock asks for stands in `stockist.schedule`.
CELERY_BROKER_URL = REDIS_URL or "memory://"
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
# A lost worker's task is sent again after the first; the other two are how soon that is noticed.
CELERY_BROKER_TRANSPORT_OPTIONS = {
    "visibility_timeout": 3600,
    "unacked_restore_interval": 5,
    "unacked_restore_throttle": 1,
    "socket_connect_timeout": 5,  # a request that asks for a job does not wait for a broker longer
    "socket_keepalive": True,
}
CELERY_TASK_TIME_LIMIT = 3000  # below the visibility timeout, or a task would run twice at once
CELERY_TASK_SOFT_TIME_LIMIT = 2940
CELERY_TASK_ACKS_LATE = CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_SERIALIZER = "json"
CELERY_ACCEPT_CONTENT = ["json"]
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_TIMEZONE = TIME_ZONE
CELERY_BEAT_SCHEDULE_FILENAME = str(DATA_FOLDER / "beat-schedule")

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "%(asctime)s %(levelname)s %(name)s %(message)s"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": LOG_LEVEL},
    "loggers": {"django": {"handlers": [], "level": LOG_LEVEL}},  # or every line came twice
}
