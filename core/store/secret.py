"""Tokens that cannot be guessed, and what is kept of those that must not be read from the database: a hash."""

from __future__ import annotations

import hashlib
import secrets


def token(characters: int = 22) -> str:
    """A random url-safe text; 22 characters hold 132 bits, 16 hold 96."""
    return secrets.token_urlsafe(characters)[:characters]


def hashed(secret: str) -> str:
    """SHA-256 in hexadecimal. The secrets are random, so no salt and no slow hash are needed."""
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()
