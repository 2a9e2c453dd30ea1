"""What every name must be, whoever or whatever it names."""

from witnessmark.errors import BenchError


def must_name(name: str) -> None:
    """Refuse an empty name."""
    if not name.strip():
        raise BenchError("The name is empty.", "Everything here has a name.", "Write the name.")


def must_have_handle(handle: str) -> None:
    """Refuse a sign-in name that is not one word."""
    if not handle or any(sign.isspace() for sign in handle):
        raise BenchError(
            "The name to sign in with is empty or has a space.",
            "It is one word, as in r.aldane.",
            "Write one word.",
        )
