"""Django's settings, all of them from the environment; DEVELOPERS.md lists every variable.

Values are checked here, so that a process with a bad one does not start.
"""

from datetime import timedelta
from pathlib import Path
from typing import Any

from csp.constants import NONE, SELF

from deploy import env, served

BASE = Path(__file__).resolve().parent.parent
DATA = Path(env.text("HALFPOINT_DATA", str(BASE / ".halfpoint")))
TESTING = env.flag("HALFPOINT_TEST")

# --- Secrets and the address we are reached at -------------------------------------------------
SECRET_KEY = env.text("SECRET_KEY")
SECRET_KEY_FALLBACKS = env.listed("SECRET_KEY_FALLBACKS")
DEBUG = False

_site = env.address("SITE_URL", "http://127.0.0.1:8000", "https", "http")
_host = _site.hostname or ""
SITE_URL = _site.geturl()
HTTPS = _site.scheme == "https"
ALLOWED_HOSTS = [
    _host,
    *(["localhost", "127.0.0.1"] if _host in {"localhost", "127.0.0.1"} else []),
    *env.listed("ALLOWED_HOSTS"),
]
CSRF_TRUSTED_ORIGINS = [SITE_URL]
USE_X_FORWARDED_HOST = False
TRUSTED_PROXIES = env.whole("TRUSTED_PROXIES", 0)
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if TRUSTED_PROXIES else None
SECURE_SSL_REDIRECT = HTTPS
SECURE_REDIRECT_EXEMPT = [r"^healthz/"]
SECURE_HSTS_SECONDS = int(timedelta(days=365).total_seconds()) if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = False  # other names of the domain are not ours to bind
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
# A name that browsers keep to this very host, set over https and for every path (RFC 6265bis).
_prefix = "__Host-" if HTTPS else ""
SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = f"{_prefix}sessionid", f"{_prefix}csrftoken"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = int(timedelta(days=14).total_seconds())
SESSION_ENGINE = "django.contrib.sessions.backends.db"
X_FRAME_OPTIONS = "DENY"
SILENCED_SYSTEM_CHECKS = [
    "security.W005",  # HSTS for subdomains: see above
    "security.W021",  # HSTS preload: for the owner of the domain to decide
]

# --- What it is made of ------------------------------------------------------------------------
INSTALLED_APPS = [
    # Ours first, so that our templates stand before those of the libraries.
    "yards.apps.YardsConfig",
    "scoring.apps.ScoringConfig",
    "api.apps.ApiConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.postgres",
    "django.contrib.staticfiles",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "allauth.usersessions",
    "csp",
    "rest_framework",
    "drf_spectacular",
    "drf_spectacular_sidecar",
]
MIDDLEWARE = [
    # First, so that a file does not carry the headers of a page: a cold page asks for thirty.
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "deploy.requests.RequestMiddleware",
    "deploy.policies.PoliciesMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "allauth.usersessions.middleware.UserSessionsMiddleware",
]
ROOT_URLCONF = "deploy.urls"
WSGI_APPLICATION = "deploy.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "yards.pages.silence.context",
            ]
        },
    }
]
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# --- PostgreSQL: three roles, none of them a superuser -----------------------------------------
DATABASE_ROLE = env.text("HALFPOINT_ROLE", "runtime")
# To plan a statement under row-level security costs more than to run most of them: what a
# connection has asked three times is prepared, and planned once it was asked often enough.
PREPARED = {"server_side_binding": True, "prepare_threshold": 3}


def _database(name: str) -> dict[str, Any]:
    """Return one connection's settings, with the limits that keep a stuck query from holding on."""
    found = env.database(name)
    owner = name == "DATABASE_OWNER_URL"
    limits = {
        "statement_timeout": 0 if owner else env.whole("DATABASE_STATEMENT_TIMEOUT_MS", 30_000),
        "lock_timeout": env.whole("DATABASE_LOCK_TIMEOUT_MS", 5_000),
        "idle_in_transaction_session_timeout": 60_000,
    }
    given = str(found["OPTIONS"].pop("options", ""))
    options = " ".join([*(f"-c {key}={value}" for key, value in limits.items()), given]).strip()
    return {
        **found,
        "ENGINE": "deploy.database",
        "CONN_MAX_AGE": env.whole("DATABASE_CONN_MAX_AGE", 60),
        "CONN_HEALTH_CHECKS": True,
        "ATOMIC_REQUESTS": False,
        "OPTIONS": {"connect_timeout": 5, **PREPARED, **found["OPTIONS"], "options": options},
    }


def _user(name: str) -> str:
    return str(env.database(name)["USER"]) if env.text(name, "") else ""


# Migrations grant to these two by name. Empty: not given.
RUNTIME_ROLE, RELAY_ROLE = _user("DATABASE_URL"), _user("DATABASE_RELAY_URL")
if DATABASE_ROLE not in {"runtime", "owner"}:
    raise env.bad("HALFPOINT_ROLE", f"must be runtime or owner, not {DATABASE_ROLE!r}")
if DATABASE_ROLE == "owner":
    _users = [_user("DATABASE_OWNER_URL"), RUNTIME_ROLE, RELAY_ROLE]
    if not all(_users) or len(set(_users)) != len(_users):
        # One role in two parts would grant the runtime what the relay sees, or let it own tables.
        raise env.bad(
            "DATABASE_OWNER_URL",
            "migrations need DATABASE_OWNER_URL, DATABASE_URL and DATABASE_RELAY_URL, "
            "each with a user name of its own",
        )

DATABASES = {
    "default": _database("DATABASE_OWNER_URL" if DATABASE_ROLE == "owner" else "DATABASE_URL")
}
if RELAY_ROLE:
    DATABASES["relay"] = _database("DATABASE_RELAY_URL")
DATABASE_ROUTERS = ["deploy.routers.RelayOnlyReads"]

# Every table is in one class; the catalog gate refuses a table that is in none.
TABLE_CLASSES: dict[str, list[str]] = {
    "person": [
        "yards_user",
        "django_session",
        "django_migrations",
        "django_content_type",
        "auth_permission",
        "auth_group",
        "auth_group_permissions",
        "account_emailaddress",
        "account_emailconfirmation",
        "mfa_authenticator",
        "usersessions_usersession",
        "yards_signinguard",
        "yards_pulse",
        "yards_letter",
        "yards_emptying",
    ],
    "door": [
        "yards_organisation",
        "yards_grant",
        "yards_token",
        "yards_invitation",
        "yards_erasure",
    ],
    "tenant": [
        "yards_yard",
        "yards_horse",
        "yards_stay",
        "yards_horseevent",
        "yards_grantyard",
        "yards_granthorse",
        "yards_restriction",
        "yards_restrictionperson",
        "yards_glassbreak",
        "yards_entry",
        "yards_entrypayload",
        "yards_erasedpayload",
        "scoring_assessor",
        "scoring_instrument",
        "scoring_assessment",
        "scoring_weighing",
        "scoring_concern",
        "scoring_photo",
        "scoring_fit",
        "scoring_vetorder",
        "scoring_vetorderend",
        "scoring_question",
        "scoring_questionend",
        "scoring_clinicalnote",
        "scoring_standing",
        "scoring_alert",
        "scoring_alertsighting",
        "scoring_alertact",
        "scoring_boardview",
        "scoring_rulesetting",
        "scoring_ruleexception",
        "scoring_escalationpolicy",
        "scoring_absence",
        "scoring_timer",
        "scoring_notice",
    ],
}

# --- Redis: cache and broker, a hint and never the truth ----------------------------------------
REDIS_URL, CELERY_BROKER_URL = env.redis("REDIS_URL", "redis://127.0.0.1:6379/0")
CACHES = {
    "default": {
        "BACKEND": "deploy.cache.FailOpenRedisCache",
        "LOCATION": REDIS_URL,
        "KEY_PREFIX": "halfpoint",
        "TIMEOUT": 300,
        "OPTIONS": {"socket_connect_timeout": 1, "socket_timeout": 1},
    },
    # Where deploy.cache keeps what guards signing in while Redis is away.
    "table": {
        "BACKEND": "django.core.cache.backends.db.DatabaseCache",
        "LOCATION": "yards_signinguard",
        "KEY_PREFIX": "halfpoint",
        "OPTIONS": {"MAX_ENTRIES": 100_000},
    },
}

CELERY_TIMEZONE = "UTC"
CELERY_ENABLE_UTC = True
CELERY_TASK_IGNORE_RESULT = True
# A task is a hint to look at rows, and the next tick asks again: none is worth giving back to the
# broker (see celery.py).
CELERY_TASK_ACKS_LATE = False
CELERY_TASK_TIME_LIMIT = 300
CELERY_TASK_SOFT_TIME_LIMIT = 240
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_WORKER_CANCEL_LONG_RUNNING_TASKS_ON_CONNECTION_LOSS = True
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_CONNECTION_MAX_RETRIES = None
CELERY_BROKER_TRANSPORT_OPTIONS = {"socket_timeout": 10, "socket_connect_timeout": 2}
CELERY_ACCEPT_CONTENT = ["json"]
# Seconds, never local times of day: a clock change must not move or drop a tick. A tick that could
# not be taken is stale at once, since the next one asks the same rows.
CELERY_BEAT_SCHEDULE: dict[str, dict[str, Any]] = {
    "deliver notices": {
        "task": "scoring.tasks.deliver_notices",
        "schedule": 1.0,
        "options": {"expires": 1},
    },
    "run timers": {
        "task": "scoring.tasks.run_timers",
        "schedule": 1.0,
        "options": {"expires": 5},
    },
    "beat": {"task": "deploy.celery.beat_seen", "schedule": 1.0, "options": {"expires": 2}},
    "watch": {"task": "deploy.celery.watch", "schedule": 45.0, "options": {"expires": 40}},
}
CELERY_BEAT_SCHEDULER = "deploy.beat:SeenScheduler"

# --- Watching the watcher ------------------------------------------------------------------------
# Called after each round of the watch that found all well; whoever listens there alarms on silence.
HEARTBEAT_URL = env.outward("HEARTBEAT_URL")
# Off where a web process runs alone on purpose: no page says that the other parts are silent.
WATCH_BANNER = env.flag("WATCH_BANNER", default=True)
# Where the rehearsed message goes; without it the mail server is called and nothing is sent.
WATCH_MAIL_TO = env.text("WATCH_MAIL_TO", "")

# --- Mail --------------------------------------------------------------------------------------
_mail = env.mail("EMAIL_URL", "smtp://127.0.0.1:25")
EMAIL_BACKEND = _mail["EMAIL_BACKEND"]
EMAIL_HOST = _mail["EMAIL_HOST"]
EMAIL_PORT = _mail["EMAIL_PORT"] or 25
EMAIL_HOST_USER = _mail["EMAIL_HOST_USER"] or ""
EMAIL_HOST_PASSWORD = _mail["EMAIL_HOST_PASSWORD"] or ""
EMAIL_USE_TLS = bool(_mail.get("EMAIL_USE_TLS", False))
EMAIL_USE_SSL = bool(_mail.get("EMAIL_USE_SSL", False))
EMAIL_TIMEOUT = env.whole("EMAIL_TIMEOUT_S", 10, least=1)
DEFAULT_FROM_EMAIL = SERVER_EMAIL = env.text("MAIL_FROM", f"Halfpoint <halfpoint@{_host}>")

# --- People ------------------------------------------------------------------------------------
AUTH_USER_MODEL = "yards.User"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
CSRF_FAILURE_VIEW = "yards.pages.screen.csrf_failed"
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "/"
ACCOUNT_ADAPTER = "yards.pages.sign_in.AccountAdapter"
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*", "password2*"]
ACCOUNT_EMAIL_VERIFICATION = "none"  # people are made by their coordinator, not by themselves
ACCOUNT_SESSION_REMEMBER = True
# How long a password or second factor counts before people, tokens and rules are changed.
ACCOUNT_REAUTHENTICATION_TIMEOUT = int(timedelta(minutes=15).total_seconds())
ACCOUNT_REAUTHENTICATION_REQUIRED = True
ALLAUTH_TRUSTED_PROXY_COUNT = TRUSTED_PROXIES
ACCOUNT_CHANGE_EMAIL = True  # one address a person; a new one counts once it has answered
ACCOUNT_EMAIL_NOTIFICATIONS = True
ACCOUNT_EMAIL_SUBJECT_PREFIX = ""
ACCOUNT_LOGOUT_ON_PASSWORD_CHANGE = False
ACCOUNT_FORMS = {"reset_password": "yards.pages.forgotten.Forgotten"}
PASSWORD_RESET_TIMEOUT = int(timedelta(hours=1).total_seconds())
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes", "webauthn"]
MFA_ALLOW_UNVERIFIED_EMAIL = True  # a coordinator named the address; nobody signs up by themselves
MFA_TOTP_ISSUER = "Halfpoint"
MFA_TOTP_TOLERANCE = 1
# A key is a second factor, never the only one: a vet's own password confirms a grant.
MFA_PASSKEY_LOGIN_ENABLED = False
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = _host in {"localhost", "127.0.0.1"}

# --- Words and times ---------------------------------------------------------------------------
LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English (United Kingdom)")]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"
# Seconds that a server under test runs ahead of the clock; edges add it to the time they read.
CLOCK_OFFSET = env.whole("HALFPOINT_CLOCK_OFFSET", 0, least=-(10**9))
if CLOCK_OFFSET and not TESTING:
    raise env.bad("HALFPOINT_CLOCK_OFFSET", "is honoured only together with HALFPOINT_TEST=1")

# --- Files, bodies, what a page may load ---------------------------------------------------------
STATIC_URL = "/static/"
STATIC_ROOT = DATA / "static"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if TESTING
        else "deploy.statics.HashedFiles"
    },
}
WHITENOISE_USE_FINDERS = TESTING
WHITENOISE_AUTOREFRESH = False
WHITENOISE_KEEP_ONLY_HASHED_FILES = True
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_ADD_HEADERS_FUNCTION = served.headers
WHITENOISE_SKIP_COMPRESS_EXTENSIONS = [
    *("jpg", "jpeg", "png", "gif", "webp", "zip", "gz", "br", "woff", "woff2"),
    "map",  # megabytes that no reader of the docs ever asks for
]
# Requests a minute for a token or a person, and for an address that nobody we know asks from; 0 is
# no limit, as under test, where the whole suite asks as the same few people.
API_RATE = env.whole("API_RATE", 0 if TESTING else 600)
API_RATE_ANONYMOUS = env.whole("API_RATE_ANONYMOUS", 0 if TESTING else 60)
API_MAX_BODY = 1024 * 1024
API_MAX_BATCH_BODY = 5 * 1024 * 1024
# A photo of the largest size that is taken, and a little more that is refused by name.
API_MAX_PHOTO_BODY = 12 * 1024 * 1024
DATA_UPLOAD_MAX_MEMORY_SIZE = API_MAX_BATCH_BODY

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "object-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
    }
}

# --- REST --------------------------------------------------------------------------------------
REST_FRAMEWORK: dict[str, Any] = {
    # Each view says for itself who may come in (api.base); nothing is inherited by accident.
    "DEFAULT_AUTHENTICATION_CLASSES": [],
    "DEFAULT_PERMISSION_CLASSES": [],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "UNAUTHENTICATED_USER": None,
    "UNAUTHENTICATED_TOKEN": None,
    "NUM_PROXIES": TRUSTED_PROXIES,
}
SPECTACULAR_SETTINGS: dict[str, Any] = {
    "TITLE": "Halfpoint",
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "SERVE_INCLUDE_SCHEMA": False,
    "SERVE_AUTHENTICATION": [],
    "SERVE_PERMISSIONS": [],
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
    "REDOC_DIST": "SIDECAR",
}

# --- Logs: one JSON object a line, on the error stream -------------------------------------------
LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"json": {"()": "deploy.logging.JsonLines"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "json"}},
    "root": {"handlers": ["stderr"], "level": env.text("LOG_LEVEL", "INFO").upper()},
    "loggers": {
        # Django's own line per 4xx repeats ours and carries the raw path.
        "django.request": {"level": "CRITICAL" if TESTING else "ERROR"},
        # A tick a second that found nothing to do is not news.
        "celery.beat": {"level": "WARNING"},
        "celery.worker.strategy": {"level": "WARNING"},
        "celery.worker.request": {"level": "WARNING"},
        "celery.app.trace": {"level": "WARNING"},
        "django.server": {"handlers": ["stderr"], "level": "ERROR", "propagate": False},
    },
}
