"""How many visitors may hold a connection at once, and for how long silently.

The web server takes no further visitor once its connections are all held, or once it has no file
number left for one, so there is room for many, and who says nothing does not stay. Standard
library only.
"""

try:
    import resource
except ImportError:  # Windows, which has no such limit
    resource = None  # type: ignore[assignment]

MOST = 8192
# The database, the pages' files and the log want numbers as well.
OTHER_FILES = 256
# Whoever sends no whole head of a request, the first or a further one, is let go after that.
SILENT_MS = 20_000
# The longest address of use, 500 labels by their codes, has a tenth of it.
LONGEST_HEAD = 64 * 1024


def settings() -> list[str]:
    """Granian's own. HTTP/1.1 alone: to tell it from HTTP/2 it waits for a first byte endlessly."""
    return [
        *("--http", "1", "--backpressure", str(make_room())),
        *("--http1-header-read-timeout", str(SILENT_MS)),
        *("--http1-buffer-size", str(LONGEST_HEAD)),
    ]


def make_room() -> int:
    """Raise the limit of open files for this process and its children as far as it is of use and
    allowed; how many connections fit under it."""
    if resource is None:
        return MOST
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = MOST + OTHER_FILES
    if soft == resource.RLIM_INFINITY or soft >= wanted:
        return MOST
    raised = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
    try:
        resource.setrlimit(resource.RLIMIT_NOFILE, (raised, hard))
    except (OSError, ValueError):  # a system may have a lower limit than it says
        raised = soft
    return max(raised // 2, raised - OTHER_FILES)
