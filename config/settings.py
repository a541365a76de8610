"""Settings, all by environment. Importing them never raises: what must be set for serving is said by `config.checks`."""

import os
from pathlib import Path
from urllib.parse import urlsplit

from django.utils.translation import gettext_lazy as _

from config import database, mail

ROOT = Path(__file__).resolve().parent.parent
VAR = Path(os.environ.get("HOOD_LEDGER_VAR") or ROOT / "var")


def is_on(name: str) -> bool:
    """Whether a switch in the environment is on."""
    return os.environ.get(name, "").lower() in ("1", "on", "yes", "true")


# The demo: an invented institute with known passwords. Its sign-ins are refused wherever this is off.
DEMO = is_on("HOOD_LEDGER_DEMO")
DEBUG = is_on("HOOD_LEDGER_DEBUG")
SECRET_KEY = os.environ.get("HOOD_LEDGER_SECRET_KEY", "")

# Printed in every label's code: it can never change once labels are on hoods.
SITE_URL = (os.environ.get("SITE_URL") or ("http://127.0.0.1:8000" if DEMO or DEBUG else "")).rstrip("/")
SECURE = SITE_URL.startswith("https://")
ALLOWED_HOSTS = [
    host for host in (urlsplit(SITE_URL).hostname, *os.environ.get("HOOD_LEDGER_HOSTS", "").split(",")) if host
]
if DEMO or DEBUG:
    ALLOWED_HOSTS += ["127.0.0.1", "localhost"]

INSTALLED_APPS = [
    "config.apps.House",
    "hoods",
    "surveys",
    "reports",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "crispy_forms",
    "crispy_bootstrap5",
    "allauth",
    "allauth.account",
    "csp",
]
AUTH_USER_MODEL = "hoods.Person"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
ROOT_URLCONF = "config.urls"
APPEND_SLASH = True

MIDDLEWARE = [
    "config.middleware.SecurityHeaders",  # outermost: static files, refusals and errors carry the headers too
    "csp.middleware.CSPMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "config.middleware.OwnLanguage",
    "config.middleware.ChosenSite",
    "config.middleware.Access",
]

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"
CRISPY_ALLOWED_TEMPLATE_PACKS = "bootstrap5"
CRISPY_TEMPLATE_PACK = "bootstrap5"

DATABASE_URL = os.environ.get("DATABASE_URL", "")
DATABASES = {
    "default": database.postgresql(DATABASE_URL)
    if DATABASE_URL
    else database.sqlite(Path(os.environ.get("HOOD_LEDGER_DATABASE") or VAR / "ledger.sqlite3")),
}
# Who is told by mail, and from which address. Without a server, what is to be told is kept and shown as waiting.
MAIL_URL = os.environ.get("HOOD_LEDGER_MAIL_URL", "")
MAIL = mail.server(MAIL_URL, demo=DEMO)
MAIL_IS_SET_UP: bool = MAIL.is_set_up
EMAIL_BACKEND = MAIL.backend
EMAIL_HOST, EMAIL_PORT = MAIL.host, MAIL.port
EMAIL_HOST_USER, EMAIL_HOST_PASSWORD = MAIL.user, MAIL.password
EMAIL_USE_SSL, EMAIL_USE_TLS = MAIL.ssl, MAIL.starttls
EMAIL_TIMEOUT = 10  # [s] whoever posts a stop waits no longer for a server that is silent
DEFAULT_FROM_EMAIL = SERVER_EMAIL = (
    os.environ.get("HOOD_LEDGER_MAIL_FROM") or f"hood-ledger@{urlsplit(SITE_URL).hostname or 'localhost'}"
)

CACHES = {
    # Sign-ins are counted here, across processes.
    "default": {"BACKEND": "django.core.cache.backends.db.DatabaseCache", "LOCATION": "cache"},
    # Visitors of public pages are counted here: reading never waits for a writer.
    "visitors": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "visitors"},
}

# Who signs in, and how
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "config.passwords.NotOwnName"},
    {"NAME": "config.passwords.LongEnough", "OPTIONS": {"min_length": 10}},
    {"NAME": "config.passwords.NotAmongTheUsual"},
    {"NAME": "config.passwords.NotDigitsAlone"},
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "account_login"
PASSWORD_RESET_TIMEOUT = 3 * 24 * 60 * 60  # [s] a one-time link to set a password lives three days
ACCOUNT_ADAPTER = "config.sign_in.Adapter"
ACCOUNT_FORMS = {"login": "config.forms.SignIn", "change_password": "config.forms.ChangedPassword"}
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*", "password2*"]
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_USER_MODEL_EMAIL_FIELD = "email"
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_LOGOUT_REDIRECT_URL = LOGOUT_REDIRECT_URL
ACCOUNT_LOGOUT_ON_PASSWORD_CHANGE = False
ACCOUNT_SESSION_REMEMBER = True
# Wrong passwords of one person within so many seconds, at signing in and, counted apart, at signing
PASSWORD_TRIES, PASSWORD_TRIES_WITHIN = 5, 300
ACCOUNT_RATE_LIMITS = {
    # A campus often stands behind one address: what is counted by address bears many people at once.
    "login": "120/m/ip",
    "login_failed": f"60/m/ip,{PASSWORD_TRIES}/{PASSWORD_TRIES_WITHIN}s/key",
    "change_password": "5/m/user",
}
SESSION_COOKIE_AGE = 12 * 60 * 60  # [s] one working day of surveys
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = SECURE
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SECURE = SECURE

# What every answer says to the browser; the rest is in config.middleware.SecurityHeaders
SECURE_SSL_REDIRECT = SECURE
SECURE_HSTS_SECONDS = 365 * 24 * 60 * 60 if SECURE else 0
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
PROXIES = int(os.environ.get("HOOD_LEDGER_PROXIES") or 0) if os.environ.get("HOOD_LEDGER_PROXIES", "").isdigit() else 0
ALLAUTH_TRUSTED_PROXY_COUNT = PROXIES
if PROXIES:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
SILENCED_SYSTEM_CHECKS = [
    "security.W002",  # X-Frame-Options comes from config.middleware.SecurityHeaders, on every answer
    "security.W005",  # whether neighbours under the same domain serve https is not ours to promise:
    "security.W021",  # no subdomains, no preload
]
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'"],
        "font-src": ["'self'"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "form-action": ["'self'"],
        "frame-ancestors": ["'none'"],
        "base-uri": ["'none'"],
        "object-src": ["'none'"],
    },
}

# Language and time: a page shows times of the site that it is about (config.middleware.ChosenSite)
LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", _("English"))]
LOCALE_PATHS = [ROOT / "config" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
STATIC_ROOT = Path(os.environ.get("HOOD_LEDGER_STATIC") or ROOT / "staticfiles")
STATICFILES_DIRS = [ROOT / "static"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "config.static.HashedStaticFiles"
    },
}
DATA_UPLOAD_MAX_NUMBER_FIELDS = 4000  # a draft of criteria with 200 limits and 200 checks posts fewer
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024  # [bytes] a survey of 200 readings posts a tenth of this

# A line says what went wrong and where, never who: no names, no e-mail addresses, no form contents.
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "loggers": {
        "django": {"handlers": ["console"], "level": "WARNING", "propagate": False},
        "django.request": {"level": "ERROR"},  # that somebody was refused is no fault of the program
        "django.server": {"handlers": ["console"], "level": "INFO", "propagate": False},
    },
    "root": {"handlers": ["console"], "level": "WARNING"},
}
