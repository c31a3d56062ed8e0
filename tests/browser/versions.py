"""Versions of the phone's app on a server: this one, a marked one, and earlier ones as they were.

`shells/` keeps what a phone ran in the end of each stretch of work: `phone.js`, `sw.js` and, since
there is one, `later.js`, packed. The page around them and the other files are of now, as they were
the same. To keep the present one, before it changes much:

    cd static && npm run build
    for name in phone later sw; do
      gzip -9nc dist/$name.js > ../tests/browser/shells/NAME/$name.js.gz
    done
"""

import gzip
import hashlib
import json
import shutil
from pathlib import Path

from tests.shop_process import ShopProcess

SHELLS = Path(__file__).parent / "shells"
EARLIER = sorted(folder.name for folder in SHELLS.iterdir())
MARK = b"\n;document.documentElement.dataset.version = 'two';\n"


def publish(server: ShopProcess, files: dict[str, bytes]) -> None:
    """Put other files in place of the app's, as an upgrade of the server does."""
    folder = server.data / "static"
    listed = folder / "staticfiles.json"
    manifest = json.loads(listed.read_text("utf-8"))
    for file, content in files.items():
        stem, _, end = file.rpartition(".")
        name = f"{stem}.{hashlib.sha256(content).hexdigest()[:12]}.{end}"
        for one in (file, name):
            (folder / one).write_bytes(content)
            (folder / f"{one}.gz").write_bytes(gzip.compress(content))
        manifest["paths"][file] = name
    listed.write_text(json.dumps(manifest), "utf-8")


def publish_marked(server: ShopProcess) -> None:
    """Another build than this one, which says so."""
    script = (server.data / "static/phone.js").read_bytes()
    publish(server, {"phone.js": script + MARK})


def publish_earlier(server: ShopProcess, name: str) -> None:
    packed = SHELLS / name
    publish(server, {path.stem: gzip.decompress(path.read_bytes()) for path in packed.iterdir()})


class Shelf:
    """Keeps the app of now while the server hands out another; the server must be stopped."""

    def __init__(self, server: ShopProcess) -> None:
        self.server = server
        self.here = server.data / "static"
        self.kept = server.data / "static-of-now"
        shutil.copytree(self.here, self.kept)

    def put_back(self) -> None:
        """As an upgrade does it: files of the version before are gone."""
        shutil.rmtree(self.here)
        shutil.copytree(self.kept, self.here)
