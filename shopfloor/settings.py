"""All settings, in one file. What differs from shop to shop is read from the environment."""

from datetime import timedelta
from urllib.parse import urlsplit

from csp.constants import NONE, SELF, WASM_UNSAFE_EVAL

from shopfloor import environment as env
from shopfloor import places

BASE_DIR = places.ROOT

# --- what the shop may set -------------------------------------------------------------------
TAUTBOOK_DATA = env.data_folder("TAUTBOOK_DATA", places.DATA)
PUBLIC_ORIGIN = env.origin("PUBLIC_ORIGIN", "http://localhost:8000")
DEBUG = env.flag("DEBUG", False)
BEHIND_PROXY = env.flag("BEHIND_PROXY", False)
TIME_ZONE = env.zone("TIME_ZONE", "UTC")
DATABASES = {"default": env.database("DATABASE_URL", TAUTBOOK_DATA / "tautbook.sqlite3")}
SECRET_KEY = env.secret_key(TAUTBOOK_DATA)
CERTIFICATE = env.path("CERTIFICATE")
CERTIFICATE_KEY = env.path("CERTIFICATE_KEY")
LOG_FORMAT = env.choice("LOG_FORMAT", "text", ("text", "json"))
BACKUP_FOLDER = env.path("BACKUP_FOLDER") or TAUTBOOK_DATA / "backups"
BACKUP_PASSPHRASE_FILE = env.path("BACKUP_PASSPHRASE_FILE")
BACKUP_EVERY_HOURS = env.number("BACKUP_EVERY_HOURS", 24, 0, 24 * 30)
BACKUP_KEEP = env.number("BACKUP_KEEP", 14, 1, 10_000)

YEAR_S = 365 * 24 * 3600
_public = urlsplit(PUBLIC_ORIGIN)
ON_HTTPS = _public.scheme == "https"
ALLOWED_HOSTS = [_public.hostname, "localhost", "127.0.0.1", "[::1]", *env.names("ALLOWED_HOSTS")]
CSRF_TRUSTED_ORIGINS = [PUBLIC_ORIGIN]

# --- parts -----------------------------------------------------------------------------------
INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "ninja",
    "frames",
    "shopfloor",
    "shopfloor.exchange",
    "shopfloor.labels",
    "shopfloor.office",
]

MIDDLEWARE = [
    "shopfloor.logs.Requests",
    "shopfloor.turns.OnePatience",
    "shopfloor.headers.EveryAnswer",
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "shopfloor.language.OfThePerson",
    "django.middleware.gzip.GZipMiddleware",
    "shopfloor.caps.LargestBody",
    "shopfloor.api.last_resort.ProblemsOnly",
    "shopfloor.auth.devices.SlidingCookie",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "shopfloor.auth.sessions.SessionLimits",
    "shopfloor.auth.first_password.OwnPasswordFirst",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "shopfloor.urls"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [places.TEMPLATES],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]

# --- language, time, static files ------------------------------------------------------------
LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("de", "Deutsch")]
LOCALE_PATHS = [places.LOCALE]
USE_TZ = True

STATIC_URL = "/static/"
STATIC_ROOT = TAUTBOOK_DATA / "static"
STATIC_ROOT.mkdir(exist_ok=True)
STATICFILES_DIRS = [
    folder for folder in (places.STATIC / "dist", places.STATIC / "icons") if folder.is_dir()
]
WHITENOISE_ALLOW_ALL_ORIGINS = False
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "shopfloor.static_files.HashedFiles"},
}

# --- sign-in of the office and the screen room -----------------------------------------------
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
    )
]
LOGIN_URL = "/office/sign-in/"
LOGIN_REDIRECT_URL = "/office/"
LOGOUT_REDIRECT_URL = "/office/sign-in/"

# The whole shop may sit behind one address, so an address alone never locks anyone out.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_RESET_ON_SUCCESS = True
AXES_ENABLE_ADMIN = False
# who signed in when is in the account; addresses of each time are nobody's business
AXES_DISABLE_ACCESS_LOG = True
AXES_CLIENT_IP_CALLABLE = "shopfloor.auth.sessions.client_address"
AXES_LOCKOUT_CALLABLE = "shopfloor.auth.sessions.locked_out"
# each with its reason in tests/trust/test_checks.py
SILENCED_SYSTEM_CHECKS = ["axes.W006", *(f"security.W{n}" for n in ("004", "005", "008", "021"))]

SESSION_ENGINE = "shopfloor.auth.session_store"
SESSION_COOKIE_AGE = int(timedelta(hours=12).total_seconds())
SESSION_LONGEST = timedelta(days=7)

# --- cookies and headers ---------------------------------------------------------------------
_prefix = "__Host-" if ON_HTTPS else ""
SESSION_COOKIE_NAME = f"{_prefix}tautbook_session"
CSRF_COOKIE_NAME = f"{_prefix}tautbook_csrf"
DEVICE_COOKIE_NAME = f"{_prefix}tautbook_device"
LANGUAGE_COOKIE_NAME = f"{_prefix}tautbook_language"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = ON_HTTPS
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"

# A year where somebody else vouches for the address. With the shop's own authority it is off unless
# asked for: the plain page that hands it out has the same name, and a browser that insists on
# https could no longer reach it.
_others_vouch = ON_HTTPS and (BEHIND_PROXY or CERTIFICATE is not None)
SECURE_HSTS_SECONDS = env.number("HSTS_SECONDS", YEAR_S if _others_vouch else 0, 0, 2 * YEAR_S)
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "script-src": [SELF, WASM_UNSAFE_EVAL],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "media-src": [SELF, "blob:"],
        "connect-src": [SELF],
        "worker-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "object-src": [NONE],
        "frame-ancestors": [NONE],
    }
}

# One push holds 100 entries or 256 KB; a larger body is refused by the API in its own words.
DATA_UPLOAD_MAX_MEMORY_SIZE = 4 * 1024 * 1024

# --- what the server writes about its work ---------------------------------------------------
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "text": {"()": "shopfloor.logs.Plain"},
        "json": {"()": "shopfloor.logs.JsonLines"},
    },
    "filters": {"seldom": {"()": "shopfloor.logs.Seldom"}},
    "handlers": {"out": {"class": "logging.StreamHandler", "formatter": LOG_FORMAT}},
    # every request in lines for a program; in lines for a person only what went wrong
    "root": {"handlers": ["out"], "level": "INFO" if LOG_FORMAT == "json" else "WARNING"},
    "loggers": {
        # what it says about answers with a fault stands in the line of the request already
        "django": {"handlers": [], "level": "ERROR", "propagate": True},
        # whoever asks for the server by another name than the shop's, as scanners do all day
        "django.security.DisallowedHost": {"filters": ["seldom"]},
        # it names people and addresses; the attempts themselves are in the database
        "axes": {"level": "CRITICAL"},
    },
}
