"""The command `tautbook` of an installed wheel: every package and page is there already."""

import os
import sys
from importlib import metadata

from shopfloor.launch import address, steps


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.settings")
    if sys.argv[1:] in (["version"], ["--version"]):
        print("Tautbook", metadata.version("tautbook"))
        return
    if sys.argv[1:2] == ["verify"]:
        sys.exit("The tests are not part of what is installed: run them in a checkout.")
    try:
        if sys.argv[1:2] and sys.argv[1] in ("demo", "start"):
            address.settle(sys.argv[1], sys.argv[2:])
    except steps.Stop as reason:
        sys.exit(f"\n{reason}")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
