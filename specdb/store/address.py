"""The address of a server as it may be shown."""

from __future__ import annotations

import re

_PASSWORD = re.compile(r"(://[^:/?#@]*):.*@", re.DOTALL)
"""From the first colon to the last @: whatever a slip of the pen left in a password goes too."""
_SECRETS = re.compile(r"(?<=[?&])((?:ssl)?password|passfile)=[^&]*", re.IGNORECASE)


def masked(address: str) -> str:
    """An address without its passwords, wherever they stand in it."""
    return _SECRETS.sub(r"\1=***", _PASSWORD.sub(r"\1:***@", address))
