"""Django's settings. What a deployment may change is listed in ``env``; nothing else is read from outside."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from csp.constants import NONE, SELF

from staveward.config.env import ROOT, Site, database, env, secret_key
from staveward.config.env import data_dir as make_data_dir

# Matrices here are small, and web workers and the clock share the processors: threads that wait for each other inside
# one of them cost ten times what they save. Read once, when the library is first loaded, so it stands before all else.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

DATA_DIR = make_data_dir()
SITE = Site()
SITE_URL = SITE.url
DEBUG = env.bool("DEBUG", default=False)
SECRET_KEY = secret_key(DATA_DIR)
ALLOWED_HOSTS = SITE.hosts

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "rest_framework",
    "drf_spectacular",
    "django_filters",
    "allauth",
    "allauth.account",
    "allauth.headless",
    "allauth.mfa",
    "staveward.apps.StavewardConfig",
]

# The policy and the frame ban stand above WhiteNoise, so that the web app's own files carry them too.
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "staveward.config.middleware.ResponseHeaders",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    # Below WhiteNoise, whose files are compressed beforehand: a page of the feed shrinks to a twelfth.
    "django.middleware.gzip.GZipMiddleware",
    "staveward.config.middleware.BodyLimit",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "allauth.account.middleware.AccountMiddleware",
]
APPEND_SLASH = False
ROOT_URLCONF = "staveward.config.urls"
WSGI_APPLICATION = "staveward.config.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        # Ours come first: mails say who writes, and why.
        "DIRS": [Path(__file__).resolve().parents[1] / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
            ]
        },
    }
]

# --- data ------------------------------------------------------------------------------------------------
DATABASES: dict[str, Any] = {"default": database(DATA_DIR)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
# Rate limits are counted here, so that all web processes count together.
CACHES = {
    "default": {"BACKEND": "django.core.cache.backends.db.DatabaseCache", "LOCATION": "staveward_cache"},
}
# A body above this is answered 413 by ``BodyLimit`` before anything reads it.
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024

LANGUAGE_CODE = "en"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"

# --- sign-in ---------------------------------------------------------------------------------------------
AUTH_USER_MODEL = "staveward.User"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
HEADLESS_ONLY = True
HEADLESS_CLIENTS = ("browser",)
HEADLESS_FRONTEND_URLS = {
    "account_confirm_email": f"{SITE_URL}/account/verify-email/{{key}}",
    "account_reset_password": f"{SITE_URL}/account/password/reset",
    "account_reset_password_from_key": f"{SITE_URL}/account/password/reset/{{key}}",
    "account_signup": f"{SITE_URL}/sign-in",
}
ACCOUNT_ADAPTER = "staveward.config.accounts.ClubAccountAdapter"
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*"]
ACCOUNT_EMAIL_VERIFICATION = "optional"
ACCOUNT_EMAIL_NOTIFICATIONS = True
ACCOUNT_EMAIL_SUBJECT_PREFIX = ""
# Allauth's own limits stand for the rest; these two are the ones that guard a password.
ACCOUNT_RATE_LIMITS = {"login": "30/m/ip", "login_failed": "10/m/ip,5/300s/key"}
ALLAUTH_TRUSTED_PROXY_COUNT = SITE.proxy_count
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes"]

# A phone may stay in the cellar for a month and must still be signed in when it comes back.
SESSION_COOKIE_AGE = 90 * 24 * 3600
SESSION_COOKIE_SECURE = SITE.is_https
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SECURE = SITE.is_https
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_TRUSTED_ORIGINS = [SITE_URL]
CSRF_FAILURE_VIEW = "staveward.config.views.csrf_failure"

# --- the browser's guards --------------------------------------------------------------------------------
SECURE_SSL_REDIRECT = SITE.is_https
# The proxy's own health check asks without TLS.
SECURE_REDIRECT_EXEMPT = [r"^api/v1/health$"]
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if SITE.is_https else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SITE.is_https
# Browsers' preload lists are for the owner of the whole domain to apply for, not for one site on it.
SILENCED_SYSTEM_CHECKS = ["security.W021"]
if SITE.proxy_count:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        # The tag reader is WebAssembly; no other code may be made at run time, and none is inline.
        "script-src": [SELF, "'wasm-unsafe-eval'"],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "media-src": [SELF, "blob:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "object-src": [NONE],
    }
}

# --- the API ---------------------------------------------------------------------------------------------
REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["rest_framework.authentication.SessionAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "staveward.api.errors.problem_handler",
    "TEST_REQUEST_DEFAULT_FORMAT": "json",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Staveward",
    "DESCRIPTION": "The log of a members' club that ages spirits in its own small oak barrels.",
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "SCHEMA_PATH_PREFIX": r"/api/v1",
    "SERVE_INCLUDE_SCHEMA": False,
    "SERVE_PERMISSIONS": ["rest_framework.permissions.AllowAny"],
    # An edit has an input of its own, in which every field is optional already.
    "COMPONENT_SPLIT_PATCH": False,
    "POSTPROCESSING_HOOKS": [
        "drf_spectacular.hooks.postprocess_schema_enums",
        "staveward.api.schema.close_inputs",
    ],
    "LICENSE": {"name": "BSD-3-Clause"},
    # One name a list of words, however many fields choose from it.
    "ENUM_NAME_OVERRIDES": {
        name: f"staveward.api.choices.{words}"
        for name, words in (
            ("DrinkCountry", "DRINK_COUNTRIES"),
            ("Spirit", "SPIRITS"),
            ("Family", "FAMILIES"),
            ("Allergen", "ALLERGENS"),
            ("BarrelProfile", "PROFILES"),
            ("WoodState", "WOOD_STATES"),
            ("TendingTask", "TENDING_TASKS"),
            ("ReadingKind", "READING_KINDS"),
            ("BarrelState", "BARREL_STATES"),
            ("StayKind", "STAY_KINDS"),
            ("ForecastVerdict", "FORECAST_VERDICTS"),
            ("Placement", "PLACEMENTS"),
            ("Role", "ROLES"),
            ("ReservationState", "RESERVATION_STATES"),
            ("ReservationDecision", "RESERVATION_DECISIONS"),
            ("CuringVerdict", "CURING_VERDICTS"),
            ("AbvBasis", "ABV_BASES"),
            ("VesselAbvBasis", "VESSEL_ABV_BASES"),
            ("CapacityBasis", "CAPACITY_BASES"),
            ("TroubleKind", "TROUBLE_KINDS"),
            ("TroubleOutcome", "TROUBLE_OUTCOMES"),
            ("NoticeOutcome", "NOTICE_OUTCOMES"),
            ("OffNote", "OFF_NOTES"),
            ("FlightOpening", "FLIGHT_OPENINGS"),
            ("Sign", "SIGNS"),
            ("InspectedPart", "INSPECTED"),
            ("JointPart", "JOINT_PARTS"),
            ("JointState", "JOINT_STATES"),
            ("Repair", "REPAIRS"),
            ("RetirementWhy", "RETIREMENT_WHY"),
            ("NoticeWhy", "NOTICE_WHY"),
            ("TrayDecision", "TRAY_DECISIONS"),
            ("ChangedCollection", "CHANGED"),
            ("Ingredient", "INGREDIENTS"),
            ("FillGate", "FILL_GATES"),
            ("PullVerdict", "PULL_VERDICTS"),
            ("PullReason", "PULL_REASONS"),
            ("PriorBasis", "PRIOR_BASES"),
            ("AgreementVerdict", "AGREEMENT_VERDICTS"),
        )
    },
}

# --- the web app's files ---------------------------------------------------------------------------------
STATIC_URL = "/static/"
WEB_APP_DIR = Path(env.str("WEB_APP_DIR", default=str(ROOT / "frontend" / "dist")))
WHITENOISE_ROOT = WEB_APP_DIR
WHITENOISE_INDEX_FILE = "index.html"
# Vite puts a hash of the content into the name of everything under /assets/.
WHITENOISE_IMMUTABLE_FILE_TEST = r"^/assets/.+-[0-9A-Za-z_-]{8,}\.[0-9a-z]+$"
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_MIMETYPES = {".webmanifest": "application/manifest+json", ".wasm": "application/wasm"}


def _always_ask(headers: Any, path: str, url: str) -> None:
    """Makes the browser ask for the page and the worker each time, so that a new version is seen at once."""
    if not url.startswith("/assets/") and Path(path).suffix in (".html", ".js", ".webmanifest"):
        headers["Cache-Control"] = "no-cache"


WHITENOISE_ADD_HEADERS_FUNCTION = _always_ask

# --- mail and log ----------------------------------------------------------------------------------------
DEFAULT_FROM_EMAIL = env.str("MAIL_FROM", default=f"staveward@{SITE.host}")
SERVER_EMAIL = DEFAULT_FROM_EMAIL
if env.str("MAIL_URL", default=""):
    vars().update(env.email_url("MAIL_URL"))
else:
    EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    EMAIL_FILE_PATH = DATA_DIR / "mail"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "django": {"handlers": ["console"], "level": "WARNING", "propagate": False},
        # Every 4xx of the API is an answer, not an event; what failed is in django.request at ERROR.
        "django.request": {"handlers": ["console"], "level": "ERROR", "propagate": False},
        "staveward": {"handlers": ["console"], "level": "INFO", "propagate": False},
    },
}
