"""Files in, one ZIP out that is a BagIt bag: every file's SHA-256 in a manifest (RFC 8493)."""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Mapping

_EARLIEST = (1980, 1, 1, 0, 0, 0)  # a ZIP knows no earlier moment; the files have none of their own
_DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
MANIFEST, TAG_MANIFEST = "manifest-sha256.txt", "tagmanifest-sha256.txt"


def bag_bytes(name: str, files: Mapping[str, bytes], info: Mapping[str, str]) -> bytes:
    """`name`: the bag's folder; `files`: payload by path; `info`: what bag-info.txt says."""
    payload = {f"data/{path}": content for path, content in sorted(files.items())}
    tags = {
        "bagit.txt": _DECLARATION.encode(),
        "bag-info.txt": _info(info, payload).encode(),
        MANIFEST: _manifest(payload).encode(),
    }
    tags[TAG_MANIFEST] = _manifest(tags).encode()
    return zip_bytes({f"{name}/{path}": content for path, content in (tags | payload).items()})


def _info(info: Mapping[str, str], payload: Mapping[str, bytes]) -> str:
    size = sum(len(content) for content in payload.values())
    said = dict(info) | {"Payload-Oxum": f"{size}.{len(payload)}"}
    return "".join(f"{label}: {' '.join(value.split())}\n" for label, value in said.items())


def _manifest(files: Mapping[str, bytes]) -> str:
    return "".join(
        f"{hashlib.sha256(content).hexdigest()}  {path}\n" for path, content in files.items()
    )


def zip_bytes(files: Mapping[str, bytes]) -> bytes:
    """Stored, not packed: the bytes then depend on no packer's version, and each can be checked."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for path, content in files.items():
            entry = zipfile.ZipInfo(path, _EARLIEST)
            entry.external_attr = 0o644 << 16
            entry.create_system = 3
            archive.writestr(entry, content)
    return out.getvalue()
