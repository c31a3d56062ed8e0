"""The one file of a backup: a gzipped tar with a manifest first, sealed if there is a passphrase.

manifest.json                     what is in it, when and where it was made, digests
database.sqlite3 | database.dump  the copy of the database
secret_key, authority/…           what the data folder holds beside it
"""

import hashlib
import io
import json
import os
import tarfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any, BinaryIO

from shopfloor.backup import manifest as manifests
from shopfloor.backup.errors import BackupError
from shopfloor.backup.manifest import FORMAT, NO_BACKUP
from shopfloor.backup.sealing import Opener, Sealer, is_sealed

Json = dict[str, Any]
MANIFEST = "manifest.json"
CHUNK = 1024 * 1024
NEEDS_WORD = "This backup is sealed: name the file that holds its passphrase (--passphrase-file)."


def digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def write(out: BinaryIO, manifest: Json, files: dict[str, Path], passphrase: str | None) -> None:
    """`files`: name inside → where it lies. Their digests are added to the manifest."""
    told = {name: {"bytes": p.stat().st_size, "sha256": digest(p)} for name, p in files.items()}
    whole = {"format": FORMAT, **manifest, "files": told}
    with ExitStack() as stack:
        sink = stack.enter_context(Sealer(out, passphrase)) if passphrase else out
        tar = stack.enter_context(tarfile.open(fileobj=sink, mode="w|gz"))
        raw = json.dumps(whole, indent=1).encode()
        tar.addfile(_member(MANIFEST, len(raw)), io.BytesIO(raw))
        for name, path in files.items():
            with path.open("rb") as file:
                tar.addfile(_member(name, told[name]["bytes"]), file)


def _member(name: str, size: int) -> tarfile.TarInfo:
    member = tarfile.TarInfo(name)
    member.size, member.mode = size, 0o600
    return member


def unpack(path: Path, into: Path, passphrase: str | None) -> Json:
    """Lay every file out in `into`, an empty folder, and compare digests; the manifest."""
    with _opened(path, passphrase) as tar:
        members = iter(tar)
        manifest = _manifest(tar, next(members, None))
        seen = {member.name: _lay_out(tar, member, into, manifest) for member in members}
    if seen != {name: told["sha256"] for name, told in manifest["files"].items()}:
        raise BackupError(f"{path.name} does not hold what its manifest says. Use another backup.")
    return manifest


def peek(path: Path, passphrase: str | None) -> Json:
    """The manifest alone."""
    with _opened(path, passphrase) as tar:
        return _manifest(tar, next(iter(tar), None))


@contextmanager
def _opened(path: Path, passphrase: str | None) -> Iterator[tarfile.TarFile]:
    try:
        with ExitStack() as stack:
            source: BinaryIO = stack.enter_context(path.open("rb"))
            if is_sealed(source):
                if not passphrase:
                    raise BackupError(NEEDS_WORD)
                plain = stack.enter_context(Opener(source, passphrase))
                source = io.BufferedReader(plain)  # type: ignore[assignment]
            yield stack.enter_context(tarfile.open(fileobj=source, mode="r|gz"))
    except (tarfile.TarError, EOFError) as error:
        raise BackupError(f"{path.name}: {NO_BACKUP}") from error
    except OSError as error:
        raise BackupError(f"{path} cannot be read: {error.strerror or error}.") from error


def _manifest(tar: tarfile.TarFile, member: tarfile.TarInfo | None) -> Json:
    file = tar.extractfile(member) if member and member.name == MANIFEST else None
    if file is None:
        raise BackupError(NO_BACKUP)
    return manifests.read(file.read(CHUNK))


def _lay_out(tar: tarfile.TarFile, member: tarfile.TarInfo, into: Path, manifest: Json) -> str:
    """Write one file whose name the manifest knows; its digest. Never outside of `into`."""
    manifests.check_name(member.name)
    target = (into / member.name).resolve()
    source = tar.extractfile(member) if member.isfile() else None
    if member.name not in manifest["files"] or not target.is_relative_to(into.resolve()):
        raise BackupError(f"The backup holds {member.name!r}, which does not belong there.")
    if source is None:
        raise BackupError(NO_BACKUP)
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    sum_ = hashlib.sha256()
    with open(target, "xb", opener=private) as file:
        while piece := source.read(CHUNK):
            sum_.update(piece)
            file.write(piece)
    return sum_.hexdigest()


def private(path: str, flags: int) -> int:
    """An opener for files that their owner alone may read."""
    return os.open(path, flags, 0o600)
