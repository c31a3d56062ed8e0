"""Who may import what. DEVELOPERS.md prints the same table, and a test compares the two.

Each row: a module and what lies under it, what of this house it may import, what from outside
(the standard library always). The most exact row counts. `itself` needs no mention.
"""

PURE = (
    "frames.codes frames.conditions frames.effects frames.entries frames.errors frames.fields "
    "frames.folding frames.forms frames.payloads frames.times frames.wording"
)
DOORS = f"{PURE} frames.models frames.log frames.things frames.feed frames.state"
ADVICE = f"{PURE} frames.models frames.state frames.mechanics"
OF_LISTS = "shopfloor.exchange."
LIST_READING = (
    f"{OF_LISTS}cells {OF_LISTS}checking {OF_LISTS}columns {OF_LISTS}decoding {OF_LISTS}guarding "
    f"{OF_LISTS}headings {OF_LISTS}job_rows {OF_LISTS}proposals {OF_LISTS}retiring "
    f"{OF_LISTS}rows {OF_LISTS}splitting {OF_LISTS}writing"
)

PYTHON: dict[str, tuple[str, str]] = {
    "frames.mechanics": ("frames.wording", "numpy scipy skfem daqp"),
    **{module: (PURE, "pydantic pydantic_core") for module in PURE.split()},
    "frames": ("", ""),
    "frames.apps": ("frames.wording", "django"),
    "frames.models": (PURE, "django"),
    "frames.migrations": ("frames.models", "django"),
    "frames.feed": ("frames.models", "django"),
    "frames.links": ("frames.models", "django"),
    "frames.flags": (f"{PURE} frames.models", "django"),
    "frames.rows": (f"{PURE} frames.models frames.feed", "django"),
    "frames.state": (f"{PURE} frames.models frames.feed frames.links frames.rows", "django"),
    "frames.state_version": (
        f"{PURE} frames.models frames.feed frames.links frames.intake frames.state",
        "django",
    ),
    "frames.intake": (f"{PURE} frames.models", "rfc8785"),
    "frames.log": (
        f"{PURE} frames.models frames.feed frames.state frames.intake frames.flags",
        "django",
    ),
    "frames.audit": (
        f"{PURE} frames.models frames.state frames.intake frames.links frames.rows",
        "django",
    ),
    "frames.things": (f"{PURE} frames.models frames.feed frames.state", "django"),
    "frames.forgetting": (f"{PURE} frames.models frames.feed frames.things", "django"),
    "frames.advice": (ADVICE, "django numpy"),
    "frames.forecast": (ADVICE, "numpy"),
    "frames.matching": (f"{ADVICE} frames.forecast", ""),
    "frames.figures": (ADVICE, ""),
    "frames.lives": (ADVICE, ""),
    "frames.charting": (f"{ADVICE} frames.forecast", ""),
    "frames.metering": (f"{ADVICE} frames.forecast frames.derived", ""),
    "frames.sheet_sums": ("frames.mechanics frames.wording", ""),
    "frames.fitting": ("frames.forms frames.mechanics frames.wording", ""),
    "frames.derived": (
        f"{ADVICE} frames.links frames.feed frames.advice frames.forecast",
        "django numpy",
    ),
    "frames.management": (f"{DOORS} frames.state_version frames.audit frames.derived", "django"),
    "shopfloor.launch": (
        "shopfloor.auth shopfloor.authority shopfloor.backup shopfloor.places frames.models",
        "django qrcode",
    ),
    "shopfloor.backup": (
        "frames.errors frames.feed frames.intake shopfloor.authority shopfloor.places "
        "shopfloor.position",
        "django cryptography",
    ),
    "shopfloor.management": (
        "shopfloor.launch shopfloor.backup shopfloor.moving shopfloor.places shopfloor.privacy "
        "frames.models",
        "django",
    ),
    "shopfloor.authority": ("frames.wording", "cryptography"),
    "shopfloor.landing": ("frames.wording shopfloor.authority shopfloor.places", ""),
    "shopfloor.api": (f"{DOORS} frames.advice shopfloor", "django ninja pydantic"),
    "shopfloor.office": (
        f"{DOORS} frames.flags frames.advice frames.charting frames.derived frames.figures "
        "frames.fitting frames.lives frames.matching frames.metering frames.sheet_sums "
        "shopfloor",
        "django",
    ),
    "shopfloor.privacy": (
        f"{DOORS} frames.forgetting shopfloor.auth shopfloor.models shopfloor.exchange.models "
        "shopfloor.labels.models",
        "django axes",
    ),
    "shopfloor.exchange": (f"{DOORS} shopfloor.auth", "django"),
    **{module: (f"{PURE} {LIST_READING}", "") for module in LIST_READING.split()},
    "shopfloor.labels": (f"{DOORS} shopfloor", "django fontpkg fpdf numpy PIL qrcode"),
    "shopfloor.pwa": (f"{DOORS} shopfloor", "django"),
    "shopfloor.places": ("", ""),
    "shopfloor.deploy.pack": ("shopfloor.launch", "hatchling"),
    "shopfloor.settings": ("shopfloor.environment shopfloor.places", "csp"),
    "shopfloor.environment": ("", "django dj_database_url"),
    "shopfloor": (f"{DOORS} shopfloor", "django axes csp whitenoise"),
}

# Rooms beside each other: none reaches into the other, whatever the row above allows.
NEVER: dict[str, str] = {
    "frames.log": "frames.things",
    "frames.things": "frames.log",
    "shopfloor.api": "shopfloor.office shopfloor.labels shopfloor.pwa frames.folding "
    "frames.mechanics shopfloor.launch",
    "shopfloor.exchange": "shopfloor.api shopfloor.office frames.mechanics shopfloor.launch",
    "shopfloor.office": "shopfloor.api frames.mechanics shopfloor.launch",
    "shopfloor.labels": "shopfloor.api frames.mechanics shopfloor.launch",
    "shopfloor.pwa": "shopfloor.api frames.mechanics shopfloor.launch",
}

# JavaScript, by folder of static/src. `store` and `sync` get fetch, store and clock passed in.
JAVASCRIPT: dict[str, tuple[str, str]] = {
    "shared": ("", "preact"),
    "phone/entries": ("shared", "uuid"),
    "phone/fold": ("shared phone/entries", ""),
    "phone/store": ("shared phone/entries phone/fold", "idb uuid"),
    "phone/sync": ("shared phone/entries phone/store", ""),
    "phone/scan": ("shared", "zxing-wasm"),
    "phone/advice": ("shared phone/entries", ""),
    "phone/sums": ("shared", ""),
    "phone/ui": (
        "shared phone/entries phone/fold phone/scan phone/store/index.js phone/sync/index.js",
        "preact uplot",
    ),
    "phone/views": (
        "shared phone/entries phone/fold phone/ui phone/scan phone/sums",
        "preact uplot",
    ),
    "phone": ("shared phone", "preact"),
    "office": ("shared phone/fold", "preact uplot"),
    "css": ("css", "uplot"),
}
