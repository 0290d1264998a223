"""An OpenID Connect provider on localhost, for tests: whoever is named next signs in without a word.

It speaks what a relying party needs (OpenID Connect Core 1.0, section 3.1; Discovery 1.0, section 4): its settings, the
authorization endpoint, the token endpoint with an ID token signed by RS256, and its keys.
"""

from __future__ import annotations

import json
import secrets
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit

from joserfc import jwt
from joserfc.jwk import RSAKey

__all__ = ["CLIENT", "SECRET", "Provider", "provider"]

CLIENT, SECRET = "linesim-tests", "secret of the tests"


class Provider:
    """What it knows, and who signs in next.

    Attributes
    ----------
    person : str
        Subject of whoever signs in next.
    is_verified : bool
        Whether it says of the address that it is theirs.
    """

    def __init__(self, issuer: str) -> None:
        self.issuer = issuer
        self.person = "anna"
        self.is_verified = True
        self.key = RSAKey.generate_key(2048, parameters={"use": "sig", "alg": "RS256"})
        self._codes: dict[str, tuple[str, str]] = {}

    @property
    def configuration_url(self) -> str:
        """Where it says what it offers."""
        return f"{self.issuer}/.well-known/openid-configuration"

    def configuration(self) -> dict[str, Any]:
        return {
            "issuer": self.issuer,
            "authorization_endpoint": f"{self.issuer}/authorize",
            "token_endpoint": f"{self.issuer}/token",
            "jwks_uri": f"{self.issuer}/keys",
            "response_types_supported": ["code"],
            "subject_types_supported": ["public"],
            "id_token_signing_alg_values_supported": ["RS256"],
        }

    def sent_back(self, asked: dict[str, str]) -> str:
        """The address to which a browser that wants to sign in is sent."""
        assert (asked["client_id"], asked["response_type"]) == (CLIENT, "code")
        code = secrets.token_urlsafe()
        self._codes[code] = (self.person, asked.get("nonce", ""))
        return f"{asked['redirect_uri']}?{urlencode({'code': code, 'state': asked['state']})}"

    def tokens(self, asked: dict[str, str]) -> dict[str, Any]:
        """An ID token for a code, which serves once."""
        person, nonce = self._codes.pop(asked["code"])
        now = int(time.time())
        claims = {"iss": self.issuer, "sub": person, "aud": CLIENT, "iat": now, "exp": now + 600, "nonce": nonce}
        about = {"name": person.title(), "email": f"{person}@line.example", "email_verified": self.is_verified}
        token = jwt.encode({"alg": "RS256", "kid": self.key.thumbprint()}, claims | about, self.key)
        return {"access_token": secrets.token_urlsafe(), "token_type": "Bearer", "expires_in": 600, "id_token": token}

    def keys(self) -> dict[str, Any]:
        return {"keys": [self.key.as_dict(private=False) | {"kid": self.key.thumbprint()}]}


@contextmanager
def provider() -> Iterator[Provider]:
    """Serve a provider until the block is left."""
    server = ThreadingHTTPServer(("localhost", 0), _Handler)
    known = Provider(f"http://localhost:{server.server_address[1]}")
    _Handler.known = known
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield known
    finally:
        server.shutdown()
        server.server_close()
        thread.join(10.0)


class _Handler(BaseHTTPRequestHandler):
    known: Provider

    def do_GET(self) -> None:
        parts = urlsplit(self.path)
        if parts.path == "/authorize":
            self.send_response(302)
            self.send_header("Location", self.known.sent_back({k: v[0] for k, v in parse_qs(parts.query).items()}))
            self.send_header("Content-Length", "0")
            self.end_headers()
        else:
            self._answer(self.known.keys() if parts.path == "/keys" else self.known.configuration())

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"])).decode()
        self._answer(self.known.tokens({k: v[0] for k, v in parse_qs(body).items()}))

    def _answer(self, content: dict[str, Any]) -> None:
        body = json.dumps(content).encode()
        self.send_response(200)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 - its base names it so
        """Say nothing."""
