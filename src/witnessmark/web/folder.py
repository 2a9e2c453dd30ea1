"""The data folder of a shop: database, photos and secret key live together."""

import os
import secrets
from pathlib import Path


def data_folder() -> Path:
    """Return the shop's data folder, made if it is not there yet."""
    named = os.environ.get("WITNESSMARK_HOME")
    folder = Path(named) if named else Path.home() / ".witnessmark"
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder.resolve()


def secret_key(folder: Path) -> str:
    """Return the key that signs cookies, made once for each shop."""
    path = folder / "secret-key"
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text()
    with os.fdopen(handle, "w") as file:
        key = secrets.token_urlsafe(50)
        file.write(key)
    return key
